"""Roasts from a finite-volume solution with evaporation: the truth that forecasts are measured against.

Independent of the package: its own equations, numbers and scheme. Heat is conducted through shells; the
surface takes convection and radiation, and loses what evaporates. Vapour leaves as the Lewis relation allows
while the meat brings water up; what it can bring falls with what has left, so the surface dries and heats.
Many roasts are lived at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

SHELLS = 20
SHAPES = ("slab", "cylinder", "sphere")
LATENT = 2.33e6
BOLTZMANN = 5.67e-8
HEAT_CAPACITY = 3.7e6  # J/m3K of meat, about 70 % water


@dataclass(frozen=True, kw_only=True)
class Roasts:
    """Many roasts, one an entry: what they are, and their probe's temperature at every kept moment."""

    shape: npt.NDArray[np.intp]
    half_m: Floats
    oven_c: Floats
    dial_c: Floats
    target_c: Floats
    times_s: Floats  # [roasts, moments]
    probe_c: Floats  # the same


def saturation_pa(celsius: Floats) -> Floats:
    """Vapour pressure over water (Magnus form, coefficients from memory; 2 % high at 100 C)."""
    return np.asarray(610.94 * np.exp(17.625 * celsius / (celsius + 243.04)))


def roasts(count: int, seed: int) -> Roasts:
    """Random sizes, shapes, ovens, humidities, wetness and probe places, lived until Fo = 1.4."""
    rng = np.random.default_rng(seed)
    shape = rng.integers(0, 3, count)
    half = rng.uniform(0.02, 0.07, count)
    oven = rng.uniform(115, 205, count)
    alpha = np.clip(rng.normal(1.3e-7, 0.13e-7, count), 0.9e-7, 1.5e-7)
    start = rng.uniform(4, 18, count)
    convection = rng.uniform(6, 22, count)
    vapour = saturation_pa(rng.uniform(25, 70, count))
    supply = 6e-4 * np.exp(0.5 * rng.normal(size=count))
    used_up = 2.0 * np.exp(0.5 * rng.normal(size=count))
    place = np.clip(np.abs(rng.normal(0, 0.12, count)), 0, 0.35)
    target = rng.uniform(54, 76, count)

    edges = np.linspace(0, 1, SHELLS + 1)
    power = (shape + 1)[:, None]
    volume = (edges[1:] ** power - edges[:-1] ** power) / power
    face = edges[1:-1] ** (power - 1)
    middle = 0.5 * (edges[1:] + edges[:-1])
    width = 1.0 / SHELLS
    conductivity = alpha * HEAT_CAPACITY
    step = 0.2 * (half * width) ** 2 / alpha
    temp = np.repeat(start[:, None], SHELLS, axis=1)
    lost = np.zeros(count)
    leaves = np.zeros(count)
    kept: list[Floats] = []
    steps = int(1.4 / (0.2 * width**2))
    for number in range(steps):
        skin = temp[:, -1]
        # the surface itself lies half a shell out: one Newton step on its own balance
        inward = conductivity / (half * width / 2)
        for _ in range(3):
            radiant = 0.9 * BOLTZMANN * ((oven + 273.15) ** 4 - (skin + 273.15) ** 4)
            potential = convection / 1150.0 * (saturation_pa(skin) - vapour) / (462.0 * (skin + 273.15))
            leaves = np.clip(np.minimum(potential, supply / (1 + lost / used_up)), 0, None)
            flux = convection * (oven - skin) + radiant - LATENT * leaves
            slope = convection + 4 * 0.9 * BOLTZMANN * (skin + 273.15) ** 3
            slope = slope + np.where(leaves < potential, 0, LATENT * leaves * 0.045) + inward
            skin = skin + (flux - inward * (skin - temp[:, -1])) / slope
        lost = lost + leaves * step
        flow = face * np.diff(temp, axis=1) / width  # inward, in units of conductivity / half
        gain = np.zeros_like(temp)
        gain[:, :-1] += flow
        gain[:, 1:] -= flow
        gain[:, -1] += inward * (skin - temp[:, -1]) * half / conductivity
        temp = temp + gain * (step * alpha / half**2)[:, None] / volume
        if number % 8 == 0:
            spot = np.clip((place - middle[0]) / width, 0, SHELLS - 2)
            low = spot.astype(int)
            part = spot - low
            rows = np.arange(count)
            kept.append(temp[rows, low] * (1 - part) + temp[rows, low + 1] * part)
    moments = (np.arange(len(kept)) * 8 + 1)[None, :] * step[:, None]
    return Roasts(
        shape=shape,
        half_m=half,
        oven_c=oven,
        dial_c=oven + rng.normal(0, 5, count),
        target_c=target,
        times_s=moments,
        probe_c=np.stack(kept, axis=1),
    )


def probed(
    times_s: Floats, probe_c: Floats, until_s: float, rng: np.random.Generator
) -> tuple[Floats, Floats]:
    """What a probe tells up to a moment: every 30 s, 0.5 C of noise, one gap of up to a fifth of the time."""
    moments = np.arange(0.0, until_s + 1e-6, 30.0)
    gap = rng.uniform(0.1, 0.75) * until_s
    lasts = rng.uniform(0, 0.2) * until_s
    moments = moments[(moments < gap) | (moments > gap + lasts)]
    return moments, np.interp(moments, times_s, probe_c) + rng.normal(0, 0.5, len(moments))
