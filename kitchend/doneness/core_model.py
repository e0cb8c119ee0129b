"""The core of a piece while it cooks: conduction under a surround held down by evaporation, which dries out.

A wet surface does not see the oven: it stays near a wet-bulb-like temperature, and drifts towards the
oven's as it dries. With the surround as oven - (oven - wet) exp(-t / drying), each mode has a closed form, so
that a thousand candidates are one array expression. Nothing here knows readings or a cook.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kitchend.doneness.conduction import Floats, Shape, modes, profile

DIFFUSIVITY = 1.3e-7
"""m2/s, the middle of the published 0.9 to 1.5e-7 for meat and fish."""
CONDUCTIVITY = 0.47
"""W/mK: textbook examples take 0.45 (Cengel) to 0.5 (Kreith)."""
LOG_TD, LOG_H, WET, LOG_DRYING, START = range(5)
"""The columns of a candidate: ln of the diffusion time L2/alpha (s), ln of the surface coefficient (W/m2K),
the first surround (C), ln of the drying time (s), the start temperature (C)."""
PARAMETERS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What is known of a piece and its oven."""

    shape: Shape
    oven_c: float


def log_biot(theta: Floats) -> Floats:
    """ln(h L / k), with L from the diffusion time; float64[p]."""
    return np.asarray(
        theta[:, LOG_H] + 0.5 * (theta[:, LOG_TD] + np.log(DIFFUSIVITY)) - np.log(CONDUCTIVITY),
        dtype=np.float64,
    )


def core_at(scene: Scene, theta: Floats, times_s: Floats) -> Floats:
    """The core's temperature for candidates float64[p, 5] at float64[t] seconds cooked: float64[p, t]."""
    _, weights, amounts, surround = _modes_at(scene, theta, times_s)
    return np.asarray(surround + np.einsum("pn,ptn->pt", weights, amounts), dtype=np.float64)


def inside_at(scene: Scene, theta: Floats, times_s: Floats, places: Floats) -> Floats:
    """As `core_at`, at places from the centre (0) to the surface (1): float64[p, t, places]."""
    zeta, weights, amounts, surround = _modes_at(scene, theta, times_s)
    shapes = profile(scene.shape, zeta[:, :, np.newaxis], places)
    inside = np.einsum("pn,ptn,pnx->ptx", weights, amounts, shapes)
    return np.asarray(surround[:, :, np.newaxis] + inside, dtype=np.float64)


def _modes_at(scene: Scene, theta: Floats, times_s: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Roots and weights [p, n], what each mode is away from the surround [p, t, n], the surround [p, t]."""
    zeta, weights = modes(scene.shape, log_biot(theta))
    rate = zeta**2 / np.exp(theta[:, LOG_TD])[:, np.newaxis]
    drying = np.exp(-theta[:, LOG_DRYING])[:, np.newaxis]
    apart = rate - drying
    apart = np.where(np.abs(apart) < 1e-4 * rate, 1e-4 * rate, apart)
    gap = (scene.oven_c - theta[:, WET])[:, np.newaxis]
    lag = -gap * drying / apart
    begin = theta[:, START, np.newaxis] - scene.oven_c + gap - lag
    fading = np.exp(-drying * times_s)
    amounts = lag[:, np.newaxis, :] * fading[:, :, np.newaxis] + begin[:, np.newaxis, :] * np.exp(
        -rate[:, np.newaxis, :] * times_s[:, np.newaxis]
    )
    return zeta, weights, amounts, scene.oven_c - gap * fading
