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


class Shape(Enum):
    """What a piece is nearest to. The words are those of a plan."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    SPHERE = "sphere"


def eigenvalues(shape: Shape, biot: npt.ArrayLike, terms: int) -> Floats:
    """The first roots zeta_n, shape `biot.shape + (terms,)`.

    Slab: zeta tan zeta = Bi; cylinder: zeta J1 / J0 = Bi; sphere: 1 - zeta cot zeta = Bi (Cengel, Heat
    Transfer, section 4-2). An infinite Bi is a surface at the surround's temperature. Raises ValueError for a
    Bi below zero or no number.
    """
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
    match shape:
        case Shape.SLAB:
            return np.asarray(4.0 * np.sin(zeta) / (2.0 * zeta + np.sin(2.0 * zeta)), dtype=np.float64)
        case Shape.CYLINDER:
            return np.asarray(2.0 / zeta * j1(zeta) / (j0(zeta) ** 2 + j1(zeta) ** 2), dtype=np.float64)
        case Shape.SPHERE:
            return np.asarray(
                4.0 * (np.sin(zeta) - zeta * np.cos(zeta)) / (2.0 * zeta - np.sin(2.0 * zeta)),
                dtype=np.float64,
            )


def profile(shape: Shape, zeta: Floats, place: npt.ArrayLike) -> Floats:
    """The n-th pattern at a place from the centre (0) to the surface (1), broadcast; 1 at the centre."""
    x = zeta * np.asarray(place, dtype=np.float64)
    match shape:
        case Shape.SLAB:
            return np.asarray(np.cos(x), dtype=np.float64)
        case Shape.CYLINDER:
            return np.asarray(j0(x), dtype=np.float64)
        case Shape.SPHERE:
            return np.asarray(np.sinc(x / math.pi), dtype=np.float64)


def one_term(shape: Shape, biot: float) -> tuple[float, float]:
    """zeta_1 and C_1: enough once Fo is above 0.2, with an error below about 2 %."""
    zeta = eigenvalues(shape, biot, 1)
    return float(zeta[0]), float(amplitudes(shape, zeta)[0])


def centre_ratio(shape: Shape, biot: float, fourier: npt.ArrayLike, terms: int = SERIES_TERMS) -> Floats:
    """(T - surround) / (start - surround) at the centre, by the full series; Fo above 0.005 or so."""
    zeta = eigenvalues(shape, biot, terms)
    fo = np.asarray(fourier, dtype=np.float64)[..., np.newaxis]
    return np.asarray((amplitudes(shape, zeta) * np.exp(-(zeta**2) * fo)).sum(axis=-1), dtype=np.float64)


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
