"""From readings to an ensemble of candidates: the posterior of the eight parameters.

Priors come from published ranges and from what the plan says of the piece. The peaks are found by damped
Gauss-Newton from thirteen starts at once (small and large, wet and dry pieces: the same readings may have
more than one cause); `sampling` draws round them. Same readings, same answer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kitchend.doneness.conduction import Floats
from kitchend.doneness.core_model import (
    DEW,
    DIFFUSIVITY,
    LOG_DRY,
    LOG_H,
    LOG_SUPPLY,
    LOG_TD,
    PARAMETERS,
    PLACE,
    START,
    Pieces,
    Scene,
    air_of,
    at_start,
    lived,
)
from kitchend.doneness.sampling import Peaks, drawn

EASED = (0.03, 0.1, 0.3, 1.0, 1.0, 1.0)
"""By how much readings count, round by round. Eased starts come down far oftener, the others find other
peaks: with either kind alone a moment was told now and then at half or twice the true time."""
DAMPING = 1e-2
LOWER = 16.0
"""Peaks whose sum of squares is more than this above the least are nothing beside it."""
SMOOTH = 1e-9
"""Keeps the curvature at a peak that is all but flat in some direction one that has a root."""
ALIKE = 0.05
"""Peaks nearer to one another than this, in squared spreads of the prior, are one."""
MISFIT_C = 0.1
"""What a real piece differs from the model, in C, slowly varying: it does not average out."""
NODES = 16
FINE = 2
FURTHEST = 0.2
"""The square of the furthest place of a probe that is taken for one in the middle."""
NOWHERE = -1e9
ALONG = (0.18, 0.32, 0.55)
KINDS = ((0.0, 0.0, 0.0, 0.0), (-0.8, 1.0, 0.3, 1.2), (0.3, -1.5, -1.0, 0.0))
"""Where starts are off the prior's middle, in its spreads: h, water brought up, when it is dry, dew point."""
HELD, WET = (1.0, 2.0), (-0.8, 0.3, 1.2)
"""Four more starts: the water brought up is held so far above the middle while all else is fitted, for free
starts slide down to a surface that dries already; h, when it is dry and the dew point as in the wet kind."""
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """Independent normals over the columns of a candidate: float64[8] each."""

    middle: Floats
    spread: Floats

    def bounded(self, theta: Floats) -> Floats:
        """Candidates kept within six spreads, the probe within the piece (below zero it is in the middle)."""
        inside = np.clip(theta, self.middle - 6 * self.spread, self.middle + 6 * self.spread)
        inside[..., PLACE] = np.clip(inside[..., PLACE], -FURTHEST, FURTHEST)
        return np.asarray(inside, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """Candidates float64[p, 8] of equal weight, best first; where each is at the last reading.

    `strain` is the mean square of what the best leaves of the readings, in standard deviations: 1 or less
    where the model follows them.
    """

    theta: Floats
    pieces: Pieces
    strain: float


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
        spread=np.array([2 * size_spread, 0.4, 0.55, 0.6, 14.0, start_spread, 0.025, 6.0]),
    )


def fitted(scene: Scene, prior: Prior, data: Data, until_s: float) -> Ensemble:
    """The posterior given readings, with every candidate lived until `until_s`, the last reading."""
    ways = _Ways(scene, prior, data, until_s)
    peaks = _peaks(prior, *_descend(ways, *_starts(prior, until_s)))
    theta = drawn(ways.log_density, peaks, prior.spread)
    left, pieces = ways.residuals(theta)
    strain = float(np.mean(left[0, : len(data.times_s)] ** 2))
    return Ensemble(theta=theta, pieces=pieces, strain=strain)


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
        course = lived(self.scene.shape, theta, air, pieces, step_s, NODES, fine=FINE)
        cores = np.vstack([theta[:, START], course.cores])
        spot = np.clip(self.data.times_s / step_s, 0.0, NODES - 1e-9)
        low = spot.astype(np.intp)
        part = (spot - low)[:, np.newaxis]
        at = cores[low] * (1.0 - part) + cores[low + 1] * part
        off = (at.T - self.data.temps_c) / self.data.sigma_c
        return np.concatenate([off, (theta - self.prior.middle) / self.prior.spread], axis=1), pieces

    def log_density(self, theta: Floats) -> Floats:
        """The log posterior of candidates, up to a constant; none outside the prior's bounds."""
        inside = self.prior.bounded(theta)
        left, _ = self.residuals(inside)
        level = -0.5 * np.sum(left**2, axis=1)
        is_fair = np.isfinite(level) & (inside == theta).all(axis=1)
        return np.where(is_fair, level, NOWHERE)

    def slopes(self, theta: Floats) -> tuple[Floats, Floats]:
        """The Jacobian by differences, float64[p, t + 8, 8], and the residuals, in one evaluation."""
        steps = 1e-3 * self.prior.spread
        moved = theta[np.newaxis] + np.concatenate([np.zeros((1, PARAMETERS)), np.diag(steps)])[:, np.newaxis]
        flat, _ = self.residuals(moved.reshape(-1, PARAMETERS))
        all_of = flat.reshape(PARAMETERS + 1, len(theta), -1)
        jacobian = (all_of[1:] - all_of[0]) / steps[:, np.newaxis, np.newaxis]
        return np.moveaxis(jacobian, 0, -1), all_of[0]


def _starts(prior: Prior, until_s: float) -> tuple[Floats, Flags]:
    """Pieces a fifth to a half of their diffusion time along, each middling, wet in moist air, and dry.

    And what is held in each: of some the water brought up.
    """
    kinds = np.zeros((len(KINDS), PARAMETERS))
    kinds[:, [LOG_H, LOG_SUPPLY, LOG_DRY, DEW]] = KINDS
    theta = np.tile(prior.middle + kinds * prior.spread, (len(ALONG), 1))
    reach = 2.0 * prior.spread[LOG_TD]
    times = np.repeat(np.log(until_s / np.array(ALONG)), len(KINDS))
    theta[:, LOG_TD] = prior.middle[LOG_TD] + np.clip(times - prior.middle[LOG_TD], -reach, reach)
    wet = np.tile(prior.middle, (len(HELD) * 2, 1))
    wet[:, LOG_SUPPLY] += np.repeat(HELD, 2) * prior.spread[LOG_SUPPLY]
    wet[:, [LOG_H, LOG_DRY, DEW]] += np.array(WET) * prior.spread[[LOG_H, LOG_DRY, DEW]]
    early = np.log(until_s / np.array(ALONG[:2]))
    wet[:, LOG_TD] = prior.middle[LOG_TD] + np.clip(
        np.tile(early, len(HELD)) - prior.middle[LOG_TD], -reach, reach
    )
    theta = np.concatenate([theta, wet])
    held = np.zeros(theta.shape, dtype=np.bool_)
    held[-len(wet) :, LOG_SUPPLY] = True
    return theta, held


def _descend(ways: _Ways, theta: Floats, held: Flags) -> tuple[Floats, Floats, Floats]:
    """Damped Gauss-Newton, every start by itself: a step that makes it worse is not taken, only damped.

    With every second one readings count little at first (`EASED`), so that it comes nearer before it is held
    to them. Where each came to, its Jacobian and its sum of squares; what is `held` stays as it is.
    """
    damping = np.full(len(theta), DAMPING)
    free = ~held
    both, kept = free[:, :, np.newaxis] & free[:, np.newaxis], np.eye(PARAMETERS) * held[:, np.newaxis]
    jacobian, left = ways.slopes(theta)
    counts = np.ones(left.shape)
    for weight in EASED:
        counts[::2, : len(ways.data.times_s)] = weight
        eased, off = jacobian * counts[:, :, np.newaxis], left * counts
        square = np.einsum("pri,prj->pij", eased, eased) * both + kept
        diagonal = np.einsum("pii->pi", square)[:, np.newaxis, :]
        damped = square + damping[:, np.newaxis, np.newaxis] * np.eye(PARAMETERS) * diagonal
        push = np.einsum("pri,pr->pi", eased, off) * free
        tried = ways.prior.bounded(theta - np.linalg.solve(damped, push[..., np.newaxis])[..., 0])
        new_jacobian, new_left = ways.slopes(tried)
        better = np.sum((new_left * counts) ** 2, axis=1) < np.sum(off**2, axis=1)
        theta = np.where(better[:, np.newaxis], tried, theta)
        jacobian = np.where(better[:, np.newaxis, np.newaxis], new_jacobian, jacobian)
        left = np.where(better[:, np.newaxis], new_left, left)
        damping = np.where(better, damping * 0.3, damping * 6.0)
    return theta, jacobian, np.sum(left**2, axis=1)


def _peaks(prior: Prior, theta: Floats, jacobian: Floats, cost: Floats) -> Peaks:
    """The different peaks that count, from what was found."""
    chosen: list[int] = []
    for place in map(int, np.argsort(cost)):
        off = (theta[chosen] - theta[place]) / prior.spread
        if cost[place] < cost.min() + LOWER and not np.any(np.sum(off**2, axis=1) < ALIKE):
            chosen.append(place)
    square = np.einsum("pri,prj->pij", jacobian[chosen], jacobian[chosen])
    scale = np.sqrt(np.einsum("pii->pi", square))
    alike = square / (scale[:, :, np.newaxis] * scale[:, np.newaxis]) + SMOOTH * np.eye(PARAMETERS)
    lower = np.linalg.inv(np.linalg.cholesky(alike))
    roots = np.swapaxes(lower, 1, 2) / scale[:, :, np.newaxis]
    return Peaks(places=theta[chosen], costs=cost[chosen], roots=roots)
