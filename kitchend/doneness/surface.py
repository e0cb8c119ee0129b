"""The surface of pieces in hot air, many at once: the heat that enters and the water that leaves.

Air heats it by convection and radiation; vapour leaves as the air can take it (Lewis relation, by the vapour
pressure at the surface's own temperature) while the meat brings water up, less of it as the surface dries.
Forecasts ask this some three hundred times each, so it works in Kelvin and in place, in as few operations as
it takes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from kitchend.doneness.conduction import Floats

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
ANTOINE_K = KELVIN - ANTOINE_C
COLDEST_K, HOTTEST_K = KELVIN - 50.0, KELVIN + 600.0
"""No surface in a kitchen is sought beyond these."""
LEAST_WATER = 1e-9 * LATENT
"""W/m2 that leaves even where the air takes nothing: water does not settle here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """What surrounds candidates: temperature (C), h (W/m2K), dew point's pressure (Pa), each float64[p].

    Without `radiant` h is all there is. `supply` is the water that a fresh surface brings up (kg/m2s),
    half of it once `dry_at` (kg/m2) was lost; a supply near 0 is a dry surface.
    """

    celsius: Floats
    h: Floats
    vapour_pa: Floats
    supply: Floats
    dry_at: Floats
    radiant: bool = True


def pressure_pa(celsius: Floats) -> Floats:
    """The vapour pressure of water (Antoine)."""
    return np.asarray(np.exp(ANTOINE_LEVEL - ANTOINE_SLOPE / (ANTOINE_C + celsius)), dtype=np.float64)


class Surface:
    """The surfaces of candidates in one air. `flux` and `slope` are those of the last `meet`: float64[p].

    `flux` is the heat that enters (W/m2), `slope` how that falls by a warmer skin (W/m2K).
    """

    def __init__(self, air: Air, lost: Floats) -> None:
        count = len(lost)
        self.flux, self.slope, self._leaves = np.empty(count), np.empty(count), np.empty(count)
        self._a, self._b, self._c, self._d = (np.empty(count) for _ in range(4))
        self._is_wet = np.empty(count, dtype=np.bool_)
        radiant = RADIANT if air.radiant else 0.0
        moves = (LATENT / (AIR_HEAT * VAPOUR_GAS)) * air.h
        kelvin = air.celsius + KELVIN
        self._h = air.h
        self._radiant = radiant
        self._inflow = air.h * kelvin + radiant * np.square(np.square(kelvin))
        self._level = ANTOINE_LEVEL + np.log(moves)
        self._vapour = moves * air.vapour_pa
        self._brings = LATENT * air.supply
        self._dries = 1.0 / (LATENT * air.dry_at)
        self._dryness = 1.0 + lost / air.dry_at
        self._air = air

    def meet(self, skin_k: Floats) -> None:
        """Work out the heat for skins of these temperatures (K).

        What leaves is the lesser of what the air takes and what the meat brings.
        """
        a, b, c, d = self._a, self._b, self._c, self._d
        flux, slope, leaves = self.flux, self.slope, self._leaves
        np.subtract(skin_k, ANTOINE_K, a)
        np.divide(ANTOINE_SLOPE, a, b)
        np.subtract(self._level, b, c)
        np.exp(c, c)
        np.divide(b, a, b)  # the slope of the pressure's logarithm
        np.subtract(c, self._vapour, d)
        np.divide(d, skin_k, d)
        np.maximum(d, LEAST_WATER, out=d)  # what the air takes, W/m2
        np.divide(self._brings, self._dryness, leaves)
        np.less(d, leaves, self._is_wet)
        np.minimum(d, leaves, out=leaves)
        np.multiply(b, c, b)
        np.divide(b, skin_k, b)
        np.multiply(b, self._is_wet, slope)
        if self._radiant:
            np.multiply(skin_k, skin_k, a)
            np.multiply(a, skin_k, a)
            np.multiply(a, self._radiant, a)
            np.add(a, self._h, c)
            np.multiply(a, 3.0, a)
            np.add(slope, a, slope)
            np.add(slope, c, slope)
            np.multiply(c, skin_k, c)
        else:
            np.add(slope, self._h, slope)
            np.multiply(self._h, skin_k, c)
        np.subtract(self._inflow, c, flux)
        np.subtract(flux, leaves, flux)

    def dry(self, step_s: float) -> None:
        """Let what left at the last `meet` leave for so long."""
        np.multiply(self._leaves, self._dries, self._a)
        np.multiply(self._a, step_s, self._a)
        np.add(self._dryness, self._a, self._dryness)

    @property
    def lost(self) -> Floats:
        """The water lost by now, kg/m2: float64[p]."""
        return np.asarray((self._dryness - 1.0) * self._air.dry_at, dtype=np.float64)
