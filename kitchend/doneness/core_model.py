"""The core of a piece while it cooks: conduction inside, and a surface that takes heat and loses water.

The surface is heated by air and radiation and cooled by what evaporates. Vapour leaves as the air can take it
(Lewis relation, by the vapour pressure at the surface's own temperature) while the meat brings water up; what
it brings falls as the surface dries. Inside, the modes of an insulated body are driven by the heat that
enters, so that many candidates are lived at once in a few dozen steps. Nothing here knows readings or a cook.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from kitchend.doneness.conduction import Floats, Shape, insulated_roots, profile
from kitchend.doneness.surface import COLDEST_K, HOTTEST_K, KELVIN, Air, Surface, pressure_pa

DIFFUSIVITY = 1.3e-7
"""m2/s, the middle of the published 0.9 to 1.5e-7 for meat and fish."""
CONDUCTIVITY = 0.47
"""W/mK: textbook examples take 0.45 (Cengel) to 0.5 (Kreith)."""
LOG_TD, LOG_H, LOG_SUPPLY, LOG_DRY, DEW, START, PLACE, OVEN = range(8)
"""The columns of a candidate: ln of the diffusion time L2/alpha (s), ln of the air's coefficient (W/m2K), ln
of the water a fresh surface brings up (kg/m2s), ln of the loss at which it brings half (kg/m2), the dew
point (C), the start (C), the square of the probe's place (0 centre, 1 surface), the oven (C)."""
PARAMETERS = 8
MODES = 7
ALL_MODES = np.ones(MODES)
SURFACE_EXCESS = {Shape.SLAB: 1 / 3, Shape.CYLINDER: 1 / 4, Shape.SPHERE: 1 / 5}
"""How far the surface is above the mean under a steady flux q, in q L / k."""
DIMENSIONS = {Shape.SLAB: 1.0, Shape.CYLINDER: 2.0, Shape.SPHERE: 3.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What is known of a piece and its oven."""

    shape: Shape
    oven_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The modes of an insulated piece: how strongly the surface drives each, the part of the rest."""

    roots: Floats
    squares: Floats
    drive: Floats
    rest: float


@dataclass(slots=True, kw_only=True)
class Pieces:
    """Where candidates are: amounts float64[modes, p] (1 at the surface), and their surface."""

    amounts: Floats
    skin: Floats
    flux: Floats
    lost: Floats

    def all_amounts(self, theta: Floats) -> Floats:
        """The amounts and, last, the part of the modes left out: float64[modes + 1, p]."""
        rest = self.flux * half_m(theta) / CONDUCTIVITY
        return np.concatenate([self.amounts, rest[np.newaxis]])


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How it went: what the probes show after each step, float64[steps, p].

    `first` is the first candidate's amounts then, float64[steps, modes + 1].
    """

    cores: Floats
    first: Floats


@lru_cache(maxsize=len(Shape))
def body_of(shape: Shape) -> Body:
    """The first modes of a shape."""
    roots = insulated_roots(shape, MODES)
    drive = np.full(MODES, 2.0)
    drive[0] = DIMENSIONS[shape]
    rest = SURFACE_EXCESS[shape] - float(np.sum(2.0 / roots[1:] ** 2))
    return Body(roots=roots, squares=roots**2, drive=drive, rest=rest)


def air_of(theta: Floats) -> Air:
    """The oven of candidates float64[p, 8]."""
    return Air(
        celsius=theta[:, OVEN],
        h=np.exp(theta[:, LOG_H]),
        vapour_pa=pressure_pa(theta[:, DEW]),
        supply=np.exp(theta[:, LOG_SUPPLY]),
        dry_at=np.exp(theta[:, LOG_DRY]),
    )


def at_start(theta: Floats, air: Air) -> Pieces:
    """Candidates as they go in: of one temperature, the heat already upon them."""
    count = len(theta)
    amounts = np.zeros((MODES, count))
    amounts[0] = theta[:, START]
    surface = Surface(air, np.zeros(count))
    surface.meet(theta[:, START] + KELVIN)
    return Pieces(amounts=amounts, skin=theta[:, START].copy(), flux=surface.flux, lost=np.zeros(count))


def half_m(theta: Floats) -> Floats:
    """L, half thickness or radius, from the diffusion time: float64[p]."""
    return np.asarray(np.sqrt(np.exp(theta[:, LOG_TD]) * DIFFUSIVITY), dtype=np.float64)


def pattern(shape: Shape, place: Floats) -> Floats:
    """What each mode is at places from centre (0) to surface (1), then the rest: float64[modes + 1, x]."""
    body = body_of(shape)
    roots = body.roots[:, np.newaxis]
    modes = profile(shape, roots, place) / profile(shape, roots, 1.0)
    steady = 0.5 * place**2 + SURFACE_EXCESS[shape] - 0.5
    rest = steady - np.sum(2.0 * modes[1:] / body.squares[1:, np.newaxis], axis=0)
    return np.concatenate([modes, rest[np.newaxis]])


def core_of(shape: Shape, theta: Floats, amounts: Floats) -> Floats:
    """What a probe shows of amounts float64[..., modes + 1, p]: float64[..., p]."""
    return np.asarray(np.einsum("...mp,mp->...p", amounts, _seen(shape, theta)), dtype=np.float64)


def _seen(shape: Shape, theta: Floats) -> Floats:
    """What a probe sees of each mode, where it is: float64[modes + 1, p]."""
    return pattern(shape, np.sqrt(np.maximum(theta[:, PLACE], 0.0)))


def lived(
    shape: Shape, theta: Floats, air: Air, pieces: Pieces, step_s: float, steps: int, *, fine: int = 1
) -> Course:
    """Lives so many equal steps on, and moves `pieces`.

    Each step is solved once, about a surface that goes on as in the step before; `fine` steps at the
    beginning are solved three times, where the surface jumps. Called by the dozen for one forecast, with
    arrays so small that the number of operations is what it costs: they are done in place.
    """
    body, scale = body_of(shape), half_m(theta) / CONDUCTIVITY
    kept, early, late = _weights(body, step_s / np.exp(theta[:, LOG_TD]), scale)
    gain = late.sum(axis=0) + body.rest * scale
    mixed = kept * late + early
    seen = _seen(shape, theta)
    surface = Surface(air, pieces.lost)
    cores, fluxes = np.empty((steps, len(theta))), np.empty((steps, len(theta)))
    firsts = np.empty((steps, MODES))
    settled = kept * pieces.amounts + early * pieces.flux
    skin, guess = pieces.skin + KELVIN, pieces.skin + KELVIN
    rise, room, base, each = (np.empty_like(one) for one in (skin, skin, skin, settled))
    for number in range(steps):
        np.dot(ALL_MODES, settled, out=base)
        np.add(base, KELVIN, base)
        for _ in range(3 if number < fine else 1):
            _balance(surface, gain, base, guess, rise, room)
        flux = fluxes[number]
        np.multiply(surface.slope, rise, room)
        np.subtract(surface.flux, room, flux)
        surface.dry(step_s)
        np.subtract(guess, skin, room)
        np.copyto(skin, guess)
        np.add(guess, room, guess)
        np.multiply(seen[:-1], settled, each)
        np.dot(ALL_MODES, each, out=cores[number])
        firsts[number] = settled[:, 0]
        if number + 1 < steps:
            np.multiply(kept, settled, settled)
            np.multiply(mixed, flux, each)
            np.add(settled, each, settled)
    cores += fluxes * ((seen[:-1] * late).sum(axis=0) + seen[-1] * scale)
    pieces.amounts, pieces.flux = settled + late * fluxes[-1], fluxes[-1].copy()
    pieces.skin, pieces.lost = skin - KELVIN, surface.lost
    first = fluxes[:, :1]
    return Course(cores=cores, first=np.hstack([firsts + late[:, 0] * first, first * scale[0]]))


def _balance(surface: Surface, gain: Floats, base: Floats, skin: Floats, rise: Floats, by: Floats) -> None:
    """One Newton step of skins (K) to where what enters is what the inside takes; `rise` is that step."""
    np.maximum(skin, COLDEST_K, out=skin)
    np.minimum(skin, HOTTEST_K, out=skin)
    surface.meet(skin)
    np.multiply(gain, surface.flux, rise)
    np.add(rise, base, rise)
    np.subtract(rise, skin, rise)
    np.multiply(gain, surface.slope, by)
    np.add(by, 1.0, by)
    np.divide(rise, by, rise)
    np.add(skin, rise, skin)


def _weights(body: Body, fourier: Floats, scale: Floats) -> tuple[Floats, Floats, Floats]:
    """What a step keeps of each mode, what the flux before it and after it adds: float64[modes, p]."""
    rate = body.squares[1:, np.newaxis]
    fading = np.exp(-rate * fourier)
    mean = (1.0 - fading) / (rate * fourier)
    kept = np.concatenate([np.ones((1, len(fourier))), fading])
    early = np.concatenate([0.5 * fourier[np.newaxis], (mean - fading) / rate])
    late = np.concatenate([0.5 * fourier[np.newaxis], (1.0 - mean) / rate])
    drive = body.drive[:, np.newaxis] * scale
    return kept, early * drive, late * drive
