"""Heat conduction in a slab, a cylinder and a sphere, all of one temperature at first: the exact series.

Lengths are counted in the half thickness or radius L, times in L squared over the diffusivity (Fourier
number), the surface resistance as Biot number h L / k. Temperatures come in as one
ratio, (T - surround) / (start - surround). No cooking rule enters here; everything works on arrays.
"""

from __future__ import annotations

import math
from enum import Enum

import numpy as np
import numpy.typing as npt
from scipy.special import j0, j1, jn_zeros

Floats = npt.NDArray[np.float64]

SERIES_TERMS = 60
BISECTIONS = 60
"""Halvings of a bracket no wider than pi: what is left is below the spacing of floats."""
NO_ROOT = 1e-5
"""A first root below this is that of a piece which takes no heat: its coefficient is 1."""
MOST_FOURIER = 1e3
"""No piece takes longer, unless next to nothing reaches it."""


class Shape(Enum):
    """What a piece is nearest to. The words are those of a plan."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    SPHERE = "sphere"


def eigenvalues(shape: Shape, biot: npt.ArrayLike, terms: int) -> Floats:
    """The first roots zeta_n, shape `biot.shape + (terms,)`.

    Slab: zeta tan zeta = Bi; cylinder: zeta J1 / J0 = Bi; sphere: 1 - zeta cot zeta = Bi (Cengel, Heat
    Transfer, section 4-2). An infinite Bi is a surface at the surround's temperature. Raises ValueError for a
    Bi below zero or no number, no terms, or a word that is no shape.
    """
    shape = Shape(shape)
    if terms < 1:
        raise ValueError(f"a series of {terms} terms: it has one at least")
    if not np.all(np.asarray(biot, dtype=np.float64) >= 0):
        raise ValueError(f"a Biot number of {biot!r}: it is h L / k, zero or above")
    bi = np.asarray(biot, dtype=np.float64)[..., np.newaxis]
    low, high = (np.broadcast_to(edge, (*bi.shape[:-1], terms)).copy() for edge in _brackets(shape, terms))
    surface = np.isinf(bi)
    finite = np.where(surface, 1.0, bi)
    sign = _residual(shape, high, finite) > 0
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        upper = (_residual(shape, middle, finite) > 0) == sign
        high = np.where(upper, middle, high)
        low = np.where(upper, low, middle)
    limit = _brackets(shape, terms)[1]
    return np.where(surface, limit, 0.5 * (low + high))


def insulated_roots(shape: Shape, terms: int) -> Floats:
    """The roots for a surface that lets nothing through (Bi = 0), the first of them 0: float64[terms]."""
    n = np.arange(terms, dtype=np.float64)
    match shape:
        case Shape.SLAB:
            return n * math.pi
        case Shape.CYLINDER:
            return np.concatenate(([0.0], jn_zeros(1, terms)[: terms - 1]))
        case Shape.SPHERE:
            return np.concatenate(([0.0], eigenvalues(shape, 0.0, terms)[1:]))


def amplitudes(shape: Shape, zeta: Floats) -> Floats:
    """The coefficients C_n that go with the roots: the centre ratio is the sum of C_n exp(-zeta_n^2 Fo)."""
    is_none = np.asarray(zeta) < NO_ROOT
    return np.where(is_none, 1.0, _amplitudes(Shape(shape), np.where(is_none, 1.0, zeta)))


def _amplitudes(shape: Shape, root: Floats) -> Floats:
    match shape:
        case Shape.SLAB:
            return np.asarray(4.0 * np.sin(root) / (2.0 * root + np.sin(2.0 * root)), dtype=np.float64)
        case Shape.CYLINDER:
            return np.asarray(2.0 / root * j1(root) / (j0(root) ** 2 + j1(root) ** 2), dtype=np.float64)
        case Shape.SPHERE:
            turned = np.sin(root) - root * np.cos(root)
            return np.asarray(4.0 * turned / (2.0 * root - np.sin(2.0 * root)), dtype=np.float64)


def profile(shape: Shape, zeta: Floats, place: npt.ArrayLike) -> Floats:
    """The n-th pattern at a place from the centre (0) to the surface (1), broadcast; 1 at the centre."""
    x = zeta * np.asarray(place, dtype=np.float64)
    match Shape(shape):
        case Shape.SLAB:
            return np.asarray(np.cos(x), dtype=np.float64)
        case Shape.CYLINDER:
            return np.asarray(j0(x), dtype=np.float64)
        case Shape.SPHERE:
            return np.asarray(np.sinc(x / math.pi), dtype=np.float64)


def one_term(shape: Shape, biot: float) -> tuple[float, float]:
    """zeta_1 and C_1: enough once Fo is above 0.2, with an error of some 2 %. ValueError as `eigenvalues`."""
    zeta = eigenvalues(shape, biot, 1)
    return float(zeta[0]), float(amplitudes(shape, zeta)[0])


def centre_ratio(shape: Shape, biot: float, fourier: npt.ArrayLike, terms: int = SERIES_TERMS) -> Floats:
    """(T - surround) / (start - surround) at the centre, by the full series; Fo above 0.005 or so.

    With `terms` of 1 by the first term. ValueError as `eigenvalues`, and for an Fo below zero or no number.
    """
    return ratio_at(shape, biot, fourier, 0.0, terms)


def ratio_at(
    shape: Shape, biot: float, fourier: npt.ArrayLike, place: float, terms: int = SERIES_TERMS
) -> Floats:
    """The same at a place from the centre (0) to the surface (1), of the shape of `fourier`.

    ValueError also for a place outside the piece.
    """
    fo = np.asarray(fourier, dtype=np.float64)
    if not np.all(fo >= 0):
        raise ValueError(f"a Fourier number of {fourier!r}: it is diffusivity x time / L2, zero or above")
    if not 0.0 <= place <= 1.0:
        raise ValueError(f"a place of {place!r}: it is from 0, the centre, to 1, the surface")
    zeta = eigenvalues(shape, biot, terms)
    weights = amplitudes(shape, zeta) * profile(shape, zeta, place)
    return np.asarray((weights * np.exp(-(zeta**2) * fo[..., np.newaxis])).sum(axis=-1), dtype=np.float64)


def fourier_for(
    shape: Shape, biot: float, ratio: float, place: float = 0.0, terms: int = SERIES_TERMS
) -> float:
    """The Fourier number at which a place comes to this ratio: times L2 / diffusivity it is the time.

    ValueError as `ratio_at`, and for a ratio that is not between 0 and 1 or that is never come to.
    """
    if not 0.0 < ratio < 1.0:
        raise ValueError(f"a ratio of {ratio!r}: it is between 0, the surround's, and 1, the start's")
    low, high = 0.0, MOST_FOURIER
    if float(ratio_at(shape, biot, high, place, terms)) > ratio:
        raise ValueError(f"a ratio of {ratio!r} is never come to with a Biot number of {biot!r}")
    for _ in range(BISECTIONS + 12):
        middle = 0.5 * (low + high)
        is_before = float(ratio_at(shape, biot, middle, place, terms)) > ratio
        low, high = (middle, high) if is_before else (low, middle)
    return 0.5 * (low + high)


def _brackets(shape: Shape, terms: int) -> tuple[Floats, Floats]:
    """Below and above each root; above is the root for an infinite Bi."""
    n = np.arange(terms, dtype=np.float64)
    match shape:
        case Shape.SLAB:
            return n * math.pi, (n + 0.5) * math.pi
        case Shape.CYLINDER:
            below = np.concatenate(([0.0], jn_zeros(1, terms)[: terms - 1]))
            return below, np.asarray(jn_zeros(0, terms), dtype=np.float64)
        case Shape.SPHERE:
            return n * math.pi, (n + 1.0) * math.pi


def _residual(shape: Shape, zeta: Floats, biot: Floats) -> Floats:
    match shape:
        case Shape.SLAB:
            return np.asarray(zeta * np.sin(zeta) - biot * np.cos(zeta), dtype=np.float64)
        case Shape.CYLINDER:
            return np.asarray(zeta * j1(zeta) - biot * j0(zeta), dtype=np.float64)
        case Shape.SPHERE:
            return np.asarray((1.0 - biot) * np.sin(zeta) - zeta * np.cos(zeta), dtype=np.float64)
