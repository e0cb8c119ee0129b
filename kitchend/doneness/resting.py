"""Carry-over: what the core still gains while a piece rests off the heat, from the same model.

The temperatures inside at the moment of pulling are laid out on the patterns of the resting surface, which is
wetter and cooler than the oven's, and run on. What is found is bounded by what is published, 3 to 14 C.
"""

from __future__ import annotations

import numpy as np

from kitchend.doneness.conduction import Floats, Shape, modes, profile
from kitchend.doneness.core_model import CONDUCTIVITY, DIFFUSIVITY, LOG_TD, Scene, inside_at

LEAST_C, MOST_C = 3.0, 14.0
"""5 F for a small cut to 25 F for a very large roast: published by teachers of professional cooking."""
REST_H = 8.0
"""W/m2K of a piece standing in a room: free convection and radiation; the value of the worked check."""
ROOM_C = 22.0
REST_S = 30 * 60.0
"""The usual carry-over is published for 15 to 30 minutes."""
MOMENTS = 40
PLACES, PLACE_WEIGHTS = (np.asarray(part, dtype=np.float64) for part in np.polynomial.legendre.leggauss(40))
PLACES, PLACE_WEIGHTS = 0.5 * (PLACES + 1.0), 0.5 * PLACE_WEIGHTS
VOLUME_POWER = {Shape.SLAB: 0, Shape.CYLINDER: 1, Shape.SPHERE: 2}


def rise_at_rest(
    scene: Scene, theta: Floats, pulled_s: Floats, *, room_c: float = ROOM_C, rest_s: float = REST_S
) -> Floats:
    """How many C the core gains within `rest_s` after each pull, unbounded: float64[p, t], never below 0."""
    inside = inside_at(scene, theta, pulled_s, PLACES)
    core = inside_at(scene, theta, pulled_s, np.zeros(1))[:, :, 0]
    half_m = np.sqrt(np.exp(theta[:, LOG_TD]) * DIFFUSIVITY)
    zeta, _ = modes(scene.shape, np.log(REST_H * half_m / CONDUCTIVITY))
    shapes = profile(scene.shape, zeta[:, :, np.newaxis], PLACES)
    volume = PLACE_WEIGHTS * PLACES ** VOLUME_POWER[scene.shape]
    amounts = np.einsum("ptx,pnx,x->ptn", inside - room_c, shapes, volume)
    amounts /= np.einsum("pnx,pnx,x->pn", shapes, shapes, volume)[:, np.newaxis, :]
    later = np.linspace(rest_s / MOMENTS, rest_s, MOMENTS)
    fourier = later / np.exp(theta[:, LOG_TD])[:, np.newaxis]
    fading = np.exp(-(zeta[:, np.newaxis, :] ** 2) * fourier[:, :, np.newaxis])
    resting = room_c + np.einsum("ptn,pmn->ptm", amounts, fading)
    return np.asarray(np.maximum(resting.max(axis=2) - core, 0.0), dtype=np.float64)


def bounded(rise_c: Floats) -> Floats:
    """A carry-over within the published 3 to 14 C."""
    return np.asarray(np.clip(rise_c, LEAST_C, MOST_C), dtype=np.float64)
