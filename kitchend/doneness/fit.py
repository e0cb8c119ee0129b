"""From readings to a weighted ensemble of candidates: the posterior of the five parameters.

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
from kitchend.doneness.core_model import DIFFUSIVITY, PARAMETERS, WET, Scene, core_at

ROUNDS = 11
DRAWS = 256
STEPS = np.array([1e-3, 1e-3, 0.05, 1e-3, 0.02])
WIDER = 1.5
"""The ensemble is drawn so much wider than the Laplace approximation; the weights take it back."""
MISFIT_C = 0.35
"""What a real piece differs from five parameters, in C, slowly varying: it does not average out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """Independent normals over the columns of a candidate: float64[5] each."""

    middle: Floats
    spread: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """Candidates float64[p, 5] with weights that sum to 1, and the best one, float64[1, 5]."""

    theta: Floats
    weights: Floats
    best: Floats


def prior_for(half_m: float | None, first_c: float, *, late: bool = False) -> Prior:
    """The prior of a piece of half thickness or radius `half_m` (None: 2 to 10 cm) and first reading.

        Diffusivity 0.9 to 1.5e-7 m2/s and surface coefficients from 9 to 60 W/m2K span the published
    values; the     surround of a wet surface is 48 to 88 C (it stays near the oven's wet-bulb temperature
    until the meat is at     65 to 70 C: Bengtsson et al. 1976), and the start is what was first read, or
    a cold larder to a warm room where the first reading came late.
    """
    start, start_spread = (min(first_c, 11.0), 6.0) if late else (first_c, 1.5)
    size, size_spread = (0.045, 0.8) if half_m is None else (half_m, 0.35)
    return Prior(
        middle=np.array([math.log(size**2 / DIFFUSIVITY), math.log(28.0), 68.0, math.log(4 * 3600.0), start]),
        spread=np.array([size_spread, 0.6, 20.0, 1.2, start_spread]),
    )


def fitted(scene: Scene, prior: Prior, times_s: Floats, temps_c: Floats, sigma_c: Floats) -> Ensemble:
    """The posterior given readings at float64[t] seconds in the oven with their standard deviations."""
    theta = _starts(prior)
    theta, cost = _descend(scene, prior, (times_s, temps_c, sigma_c), theta)
    best = theta[[int(np.argmin(cost))]]
    jacobian, _ = _slopes(scene, prior, (times_s, temps_c, sigma_c), best)
    return _ensemble(scene, prior, (times_s, temps_c, sigma_c), best, jacobian[0])


Data = tuple[Floats, Floats, Floats]


def _starts(prior: Prior) -> Floats:
    """The prior's middle and four places off it: larger and smaller pieces, wet and dry surrounds."""
    offsets = np.zeros((5, PARAMETERS))
    offsets[1, 0], offsets[2, 0] = 1.0, -1.0
    offsets[3, WET], offsets[4, 3] = 1.5, -2.0
    return np.asarray(prior.middle + offsets * prior.spread, dtype=np.float64)


def _residuals(scene: Scene, prior: Prior, data: Data, theta: Floats) -> Floats:
    """What is left over, in standard deviations: readings first, then the prior; float64[p, t + 5]."""
    times_s, temps_c, sigma_c = data
    off = (core_at(scene, theta, times_s) - temps_c) / sigma_c
    return np.concatenate([off, (theta - prior.middle) / prior.spread], axis=1)


def _slopes(scene: Scene, prior: Prior, data: Data, theta: Floats) -> tuple[Floats, Floats]:
    """The Jacobian by differences, float64[p, t + 5, 5], and the residuals, in one evaluation."""
    count = len(theta)
    moved = theta[np.newaxis] + np.concatenate([np.zeros((1, PARAMETERS)), np.diag(STEPS)])[:, np.newaxis]
    all_of = _residuals(scene, prior, data, moved.reshape(-1, PARAMETERS)).reshape(PARAMETERS + 1, count, -1)
    jacobian = (all_of[1:] - all_of[0]) / STEPS[:, np.newaxis, np.newaxis]
    return np.moveaxis(jacobian, 0, -1), all_of[0]


def _descend(scene: Scene, prior: Prior, data: Data, theta: Floats) -> tuple[Floats, Floats]:
    """Damped Gauss-Newton, every start by itself: a step that makes it worse is not taken, only damped."""
    damping = np.full(len(theta), 1e-2)
    jacobian, left = _slopes(scene, prior, data, theta)
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
        tried = theta - np.linalg.solve(damped, push[..., np.newaxis])[..., 0]
        tried = np.clip(tried, prior.middle - 6 * prior.spread, prior.middle + 6 * prior.spread)
        new_jacobian, new_left = _slopes(scene, prior, data, tried)
        new_cost = np.sum(new_left**2, axis=1)
        better = new_cost < cost
        theta = np.where(better[:, np.newaxis], tried, theta)
        jacobian = np.where(better[:, np.newaxis, np.newaxis], new_jacobian, jacobian)
        left = np.where(better[:, np.newaxis], new_left, left)
        cost = np.where(better, new_cost, cost)
        damping = np.where(better, damping * 0.3, damping * 6.0)
    return theta, cost


def _ensemble(scene: Scene, prior: Prior, data: Data, best: Floats, jacobian: Floats) -> Ensemble:
    spread = np.linalg.cholesky(np.linalg.inv(jacobian.T @ jacobian))
    draws = _draws()
    theta = best + WIDER * draws @ spread.T
    theta = np.clip(theta, prior.middle - 6 * prior.spread, prior.middle + 6 * prior.spread)
    fit = -0.5 * np.sum(_residuals(scene, prior, data, theta) ** 2, axis=1)
    log_weight = fit + 0.5 * np.sum(draws**2, axis=1)
    weights = np.exp(log_weight - log_weight.max())
    return Ensemble(theta=theta, weights=weights / weights.sum(), best=best)


@lru_cache(maxsize=1)
def _draws() -> Floats:
    """Standard normals spread evenly (steps by powers of the root of x^6 = x + 1, modulo 1): float64[256, 5].

    Not `scipy.stats`, whose import costs a small board tens of megabytes.
    """
    root = 1.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (PARAMETERS + 1))
    steps = root ** -np.arange(1.0, PARAMETERS + 1)
    even = (0.5 + np.arange(1, DRAWS + 1)[:, np.newaxis] * steps) % 1.0
    return np.asarray(ndtri(even), dtype=np.float64)
