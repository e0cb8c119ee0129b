"""The core of a piece while it cooks: conduction inside, and a surface that takes heat and loses water.

The surface is heated by air and radiation and cooled by what evaporates. Vapour leaves as the air can take it
(Lewis relation, by the vapour pressure at the surface's own temperature) while the meat brings water up; what
it brings falls as the surface dries. Inside, the modes of an insulated body are driven by the heat that
enters, so that many candidates are lived at once in a few dozen steps. Nothing here knows readings or a cook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from kitchend.doneness.conduction import Floats, Shape, insulated_roots, profile

DIFFUSIVITY = 1.3e-7
"""m2/s, the middle of the published 0.9 to 1.5e-7 for meat and fish."""
CONDUCTIVITY = 0.47
"""W/mK: textbook examples take 0.45 (Cengel) to 0.5 (Kreith)."""
LATENT = 2.33e6
"""J/kg of water at 70 to 80 C (steam tables)."""
RADIANT = 0.9 * 5.670e-8
"""Emissivity of food (0.9, textbook) times the Stefan-Boltzmann constant, W/m2K4."""
AIR_HEAT = 1150.0
"""J/m3K, density times heat capacity of air at the film's temperature: h / AIR_HEAT moves vapour (Lewis)."""
VAPOUR_GAS = 461.5
"""J/kgK of water vapour."""
KELVIN = 273.15
ANTOINE_LEVEL = math.log(133.322) + 8.07131 * math.log(10.0)
ANTOINE_SLOPE, ANTOINE_C = 1730.63 * math.log(10.0), 233.426
"""Of water, 1 to 100 C (8.07131, 1730.63, 233.426 in mmHg and decades): ln Pa = level - slope / (C + T)."""
LOG_TD, LOG_H, LOG_SUPPLY, LOG_DRY, DEW, START, PLACE, OVEN = range(8)
"""The columns of a candidate: ln of the diffusion time L2/alpha (s), ln of the air's coefficient (W/m2K), ln
of the water a fresh surface brings up (kg/m2s), ln of the loss at which it brings half (kg/m2), the dew
point (C), the start (C), the square of the probe's place (0 centre, 1 surface), the oven (C)."""
PARAMETERS = 8
MODES = 7
COLDEST_C, HOTTEST_C = -50.0, 600.0
"""No surface in a kitchen is sought beyond these."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """What surrounds candidates: temperature (C), h (W/m2K), dew point's pressure (Pa), each float64[p].

    Without `radiant` h is all there is. `supply` (kg/m2s) of 0 is a dry surface.
    """

    celsius: Floats
    h: Floats
    vapour_pa: Floats
    supply: Floats
    dry_at: Floats
    radiant: bool = True


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


def pressure_pa(celsius: Floats) -> Floats:
    """The vapour pressure of water (Antoine)."""
    return np.asarray(np.exp(ANTOINE_LEVEL - ANTOINE_SLOPE / (ANTOINE_C + celsius)), dtype=np.float64)


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
    flux, _, _ = _surface(_around(air), theta[:, START], np.zeros(count))
    return Pieces(amounts=amounts, skin=theta[:, START].copy(), flux=flux, lost=np.zeros(count))


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
    place = np.sqrt(np.maximum(theta[:, PLACE], 0.0))
    return np.asarray(np.einsum("...mp,mp->...p", amounts, pattern(shape, place)), dtype=np.float64)


def lived(
    shape: Shape, theta: Floats, air: Air, pieces: Pieces, step_s: float, steps: int, *, fine: int = 1
) -> Floats:
    """Lives so many equal steps on, and moves `pieces`: the amounts at each, float64[steps, modes + 1, p].

    Each step is solved once, about a surface that goes on as in the step before; `fine` steps at the
    beginning are solved three times, where the surface jumps.
    """
    body = body_of(shape)
    length = half_m(theta)
    fourier = step_s / np.exp(theta[:, LOG_TD])
    kept, early, late = _weights(body, fourier)
    scale = length / CONDUCTIVITY
    early, late = early * scale, late * scale
    gain = late.sum(axis=0) + body.rest * scale
    round_it = _around(air)
    out = np.empty((steps, MODES + 1, len(theta)))
    moved = np.zeros(len(theta))
    for number in range(steps):
        settled = kept * pieces.amounts + early * pieces.flux
        base = np.add.reduce(settled, axis=0)
        skin = _in_a_kitchen(pieces.skin + moved)
        flux, slope, leaves = _surface(round_it, skin, pieces.lost)
        rise = (base + gain * flux - skin) / (1.0 + gain * slope)
        for _ in range(2 if number < fine else 0):
            skin = _in_a_kitchen(skin + rise)
            flux, slope, leaves = _surface(round_it, skin, pieces.lost)
            rise = (base + gain * flux - skin) / (1.0 + gain * slope)
        pieces.flux = flux - slope * rise
        moved = skin + rise - pieces.skin
        pieces.skin = skin + rise
        pieces.lost = pieces.lost + leaves * step_s
        pieces.amounts = settled + late * pieces.flux
        out[number, :-1] = pieces.amounts
        out[number, -1] = pieces.flux * scale
    return out


def _weights(body: Body, fourier: Floats) -> tuple[Floats, Floats, Floats]:
    """What a step keeps of each mode, what the flux before it and after it adds: float64[modes, p]."""
    rate = body.squares[1:, np.newaxis]
    fading = np.exp(-rate * fourier)
    mean = (1.0 - fading) / (rate * fourier)
    kept = np.concatenate([np.ones((1, len(fourier))), fading])
    early = np.concatenate([0.5 * fourier[np.newaxis], (mean - fading) / rate])
    late = np.concatenate([0.5 * fourier[np.newaxis], (1.0 - mean) / rate])
    drive = body.drive[:, np.newaxis]
    return kept, early * drive, late * drive


@dataclass(frozen=True, slots=True, kw_only=True)
class _Around:
    """What an `Air` is while a piece is lived, worked out once: each float64[p], or a number.

    `inflow` is the heat that a surface at 0 C (by air) and 0 K (by radiation) would take.
    """

    h: Floats
    inflow: Floats
    moves: Floats
    vapour: Floats
    supply: Floats
    per_loss: Floats
    radiant: float


def _around(air: Air) -> _Around:
    radiant = RADIANT if air.radiant else 0.0
    moves = air.h / (AIR_HEAT * VAPOUR_GAS)
    return _Around(
        h=air.h,
        inflow=air.h * air.celsius + radiant * (air.celsius + KELVIN) ** 4,
        moves=moves,
        vapour=moves * air.vapour_pa,
        supply=air.supply,
        per_loss=1.0 / air.dry_at,
        radiant=radiant,
    )


def _in_a_kitchen(skin: Floats) -> Floats:
    """Surfaces within what is sought; quicker than `np.clip`, whose overhead counts here."""
    return np.asarray(np.minimum(np.maximum(skin, COLDEST_C), HOTTEST_C), dtype=np.float64)


def _surface(around: _Around, skin: Floats, lost: Floats) -> tuple[Floats, Floats, Floats]:
    """Heat that enters (W/m2), how that falls by a warmer skin (W/m2K), water that leaves (kg/m2s).

    What leaves is the lesser of what the air takes and what the meat brings.
    """
    per_kelvin = 1.0 / (skin + KELVIN)
    nearness = 1.0 / (ANTOINE_C + skin)
    full = around.moves * np.exp(ANTOINE_LEVEL - ANTOINE_SLOPE * nearness) * per_kelvin
    taken = np.maximum(full - around.vapour * per_kelvin, 1e-9)
    brought = around.supply / (1.0 + lost * around.per_loss)
    leaves = np.minimum(taken, brought)
    flux = around.inflow - around.h * skin - LATENT * leaves
    slope = around.h + (taken < brought) * ((LATENT * ANTOINE_SLOPE) * nearness * nearness * full)
    if around.radiant:
        kelvin = skin + KELVIN
        cube = around.radiant * kelvin * kelvin * kelvin
        flux = flux - cube * kelvin
        slope = slope + 4.0 * cube
    return flux, slope, leaves
