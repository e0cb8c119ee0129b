"""From readings to a weighted ensemble of candidates: the posterior of the eight parameters.

Priors come from published ranges and from what the plan says of the piece. The peak is found by damped
Gauss-Newton from several starts at once; around it candidates are drawn from a wide Laplace approximation and
weighted by how well they explain the readings. The draws are always the same: same readings, same answer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from kitchend.doneness.conduction import Floats
from kitchend.doneness.core_model import (
    DIFFUSIVITY,
    LOG_DRY,
    LOG_SUPPLY,
    LOG_TD,
    PARAMETERS,
    PLACE,
    START,
    Pieces,
    Scene,
    air_of,
    at_start,
    core_of,
    lived,
)

ROUNDS = 6
DRAWS = 256
SETTLED = 0.02
"""Rounds that gain less than this in the sum of squares are enough."""
WIDER = 1.3
"""The ensemble is drawn so much wider than the Laplace approximation; the weights take it back."""
MISFIT_C = 0.2
"""What a real piece differs from the model, in C, slowly varying: it does not average out."""
NODES = 20
FINE = 2
FURTHEST = 0.2
"""The square of the furthest place of a probe that is taken for one in the middle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """Independent normals over the columns of a candidate: float64[8] each."""

    middle: Floats
    spread: Floats

    def bounded(self, theta: Floats) -> Floats:
        """Candidates kept within six spreads, the probe within the piece."""
        inside = np.clip(theta, self.middle - 6 * self.spread, self.middle + 6 * self.spread)
        inside[..., PLACE] = np.clip(inside[..., PLACE], 0.0, FURTHEST)
        return np.asarray(inside, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """Candidates float64[p, 8] with weights that sum to 1, best first; where each is at the last reading."""

    theta: Floats
    weights: Floats
    pieces: Pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class Data:
    """Readings: float64[t] seconds in the oven, C, and their standard deviations."""

    times_s: Floats
    temps_c: Floats
    sigma_c: Floats


def prior_for(half_m: float | None, first_c: float, oven_c: float, *, late: bool = False) -> Prior:
    """The prior of a piece of half thickness or radius `half_m` (None: 2 to 10 cm) and first reading.

    Diffusivity is 0.9 to 1.5e-7 m2/s; air's coefficient 8 (still) to 25 (a fan's) W/m2K; the oven is near its
    dial and its air as dry as a kitchen's to as moist as a full one's. A roast that loses a quarter of its
    weight loses some 4 kg/m2 in an hour and a half, from which what the surface brings up. The start is
    what was first read, or a cold larder to a warm room where the first reading came late.
    """
    start, start_spread = (min(first_c, 11.0), 6.0) if late else (first_c, 0.8)
    size, size_spread = (0.045, 0.6) if half_m is None else (half_m, 0.25)
    return Prior(
        middle=np.array(
            [
                math.log(size**2 / DIFFUSIVITY),
                math.log(14.0),
                math.log(6e-4),
                math.log(2.0),
                48.0,
                start,
                0.015,
                oven_c,
            ]
        ),
        spread=np.array([2 * size_spread, 0.5, 0.7, 0.8, 15.0, start_spread, 0.025, 6.0]),
    )


def fitted(scene: Scene, prior: Prior, data: Data, until_s: float) -> Ensemble:
    """The posterior given readings, with every candidate lived until `until_s`, the last reading."""
    ways = _Ways(scene, prior, data, until_s)
    best, jacobian = _descend(ways, _starts(prior))
    return _ensemble(ways, best, jacobian)


@dataclass(frozen=True, slots=True)
class _Ways:
    scene: Scene
    prior: Prior
    data: Data
    until_s: float

    def residuals(self, theta: Floats) -> tuple[Floats, Pieces]:
        """What is left over, in standard deviations: readings first, then the prior; float64[p, t + 8]."""
        air = air_of(theta)
        pieces = at_start(theta, air)
        step_s = self.until_s / NODES
        amounts = lived(self.scene.shape, theta, air, pieces, step_s, NODES, fine=FINE)
        cores = np.vstack([theta[:, START], core_of(self.scene.shape, theta, amounts)])
        spot = np.clip(self.data.times_s / step_s, 0.0, NODES - 1e-9)
        low = spot.astype(np.intp)
        part = (spot - low)[:, np.newaxis]
        at = cores[low] * (1.0 - part) + cores[low + 1] * part
        off = (at.T - self.data.temps_c) / self.data.sigma_c
        return np.concatenate([off, (theta - self.prior.middle) / self.prior.spread], axis=1), pieces

    def slopes(self, theta: Floats) -> tuple[Floats, Floats]:
        """The Jacobian by differences, float64[p, t + 8, 8], and the residuals, in one evaluation."""
        steps = 1e-3 * self.prior.spread
        moved = theta[np.newaxis] + np.concatenate([np.zeros((1, PARAMETERS)), np.diag(steps)])[:, np.newaxis]
        flat, _ = self.residuals(moved.reshape(-1, PARAMETERS))
        all_of = flat.reshape(PARAMETERS + 1, len(theta), -1)
        jacobian = (all_of[1:] - all_of[0]) / steps[:, np.newaxis, np.newaxis]
        return np.moveaxis(jacobian, 0, -1), all_of[0]


def _starts(prior: Prior) -> Floats:
    """The prior's middle and places off it: larger and smaller pieces, wetter and drier ones."""
    offsets = np.zeros((3, PARAMETERS))
    offsets[0, [LOG_TD, LOG_SUPPLY, LOG_DRY]] = 0.7, 0.7, 0.7
    offsets[1, LOG_TD] = -0.7
    offsets[2, [LOG_SUPPLY, LOG_DRY]] = -1.5, -1.0
    return np.asarray(prior.middle + offsets * prior.spread, dtype=np.float64)


def _descend(ways: _Ways, theta: Floats) -> tuple[Floats, Floats]:
    """Damped Gauss-Newton, every start by itself: a step that makes it worse is not taken, only damped."""
    damping = np.full(len(theta), 1e-2)
    jacobian, left = ways.slopes(theta)
    cost = np.sum(left**2, axis=1)
    for _ in range(ROUNDS):
        square = np.einsum("pri,prj->pij", jacobian, jacobian)
        damped = (
            square
            + damping[:, np.newaxis, np.newaxis]
            * np.eye(PARAMETERS)
            * np.einsum("pii->pi", square)[:, np.newaxis, :]
        )
        push = np.einsum("pri,pr->pi", jacobian, left)
        tried = ways.prior.bounded(theta - np.linalg.solve(damped, push[..., np.newaxis])[..., 0])
        new_jacobian, new_left = ways.slopes(tried)
        new_cost = np.sum(new_left**2, axis=1)
        better = new_cost < cost
        has_settled = not np.any(cost - new_cost > SETTLED) and bool(better.any())
        theta = np.where(better[:, np.newaxis], tried, theta)
        jacobian = np.where(better[:, np.newaxis, np.newaxis], new_jacobian, jacobian)
        left = np.where(better[:, np.newaxis], new_left, left)
        cost = np.where(better, new_cost, cost)
        damping = np.where(better, damping * 0.3, damping * 6.0)
        if has_settled:
            break
    first = int(np.argmin(cost))
    return theta[first], jacobian[first]


def _ensemble(ways: _Ways, best: Floats, jacobian: Floats) -> Ensemble:
    spread = np.linalg.cholesky(np.linalg.inv(jacobian.T @ jacobian))
    draws = _draws()
    theta = ways.prior.bounded(best + WIDER * draws @ spread.T)
    left, pieces = ways.residuals(theta)
    log_weight = -0.5 * np.sum(left**2, axis=1) + 0.5 * np.sum(draws**2, axis=1)
    weights = np.exp(log_weight - log_weight.max())
    return Ensemble(theta=theta, weights=weights / weights.sum(), pieces=pieces)


@lru_cache(maxsize=1)
def _draws() -> Floats:
    """Nothing, then standard normals spread evenly (steps by powers of the root of x^9 = x + 1, modulo 1).

    float64[256, 8]. Not `scipy.stats`, whose import costs a small board tens of megabytes.
    """
    root = 1.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (PARAMETERS + 1))
    steps = root ** -np.arange(1.0, PARAMETERS + 1)
    even = (0.5 + np.arange(DRAWS)[:, np.newaxis] * steps) % 1.0
    return np.asarray(ndtri(even), dtype=np.float64)
