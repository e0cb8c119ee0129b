"""Draws candidates from a posterior that may have several peaks and long tails, always the same for the same.

Round every peak that was found candidates are drawn from a wide Student's t, thinned by their weights, and
moved by differences of one another (differential evolution Markov chain, ter Braak, Statistics and Computing
16 (2006) 239-249), which needs no scale of its own and follows a bent ridge. Knows nothing of meat.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy.special import gammaincinv, ndtri

from kitchend.doneness.conduction import Floats

COUNT = 192
MOVES = 5
FREEDOM = 5.0
"""Of the t: its tails reach where the readings decide little."""
WIDER = 1.4
TEMPER = 0.5
"""The power of the weights by which the first draws are thinned: few would be left by the whole."""
STRIDE, STRIDES_SPREAD = 0.5, 0.5
"""A move is so much of the difference of two candidates, log-normal (2.38 over the root of 16 is 0.6)."""
JITTER = 0.004

Whole = npt.NDArray[np.intp]
Density = Callable[[Floats], Floats]
"""The logarithm of the density of candidates float64[p, d], up to a constant; float64[p]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Peaks:
    """The peaks of a density: where, half the log of it lost there, and a triangular root of each covariance.

    float64[k, d], float64[k], float64[k, d, d].
    """

    places: Floats
    costs: Floats
    roots: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chances:
    """What is drawn once and used for every posterior."""

    first: Floats
    order: Whole
    one: Whole
    other: Whole
    stride: Floats
    jitter: Floats
    threshold: Floats


def drawn(density: Density, peaks: Peaks, scale: Floats) -> Floats:
    """`COUNT` candidates float64[p, d] of equal weight, the likeliest first. `scale` is float64[d]."""
    chances = _chances(len(scale))
    roots = WIDER * peaks.roots
    size = np.log(np.abs(np.diagonal(roots, axis1=1, axis2=2))).sum(axis=1)
    counts = _shares(0.5 * (size - 0.5 * peaks.costs))
    peak = np.repeat(np.arange(len(counts)), counts)
    here = peaks.places[peak] + np.einsum("nij,nj->ni", roots[peak], chances.first)
    level = density(here)
    weight = level - _log_mixture(here, peaks.places, roots, np.log(counts / COUNT) - size)
    kept = _thinned(TEMPER * weight)[chances.order]
    here, level = here[kept], level[kept]
    for move in range(MOVES):
        leap = here[chances.one[move]] - here[chances.other[move]]
        tried = here + chances.stride[move] * leap + chances.jitter[move] * scale
        tried_level = density(tried)
        taken = chances.threshold[move] < tried_level - level
        here = np.where(taken[:, np.newaxis], tried, here)
        level = np.where(taken, tried_level, level)
    best = int(np.argmax(level))
    here[[0, best]] = here[[best, 0]]
    return np.asarray(here, dtype=np.float64)


def _shares(log_evidence: Floats) -> Whole:
    """How many of `COUNT` go to each peak: one at least."""
    share = np.exp(log_evidence - log_evidence.max())
    counts = np.maximum((share / share.sum() * COUNT).astype(np.intp), 1)
    counts[np.argmax(counts)] += COUNT - counts.sum()
    return np.asarray(counts, dtype=np.intp)


def _log_mixture(here: Floats, places: Floats, roots: Floats, logs: Floats) -> Floats:
    """The log density of the mixture of t's that was drawn from, up to a constant: float64[p]."""
    off = here[np.newaxis] - places[:, np.newaxis]
    inside = np.einsum("kij,knj->kni", np.linalg.inv(roots), off)
    square = np.sum(inside**2, axis=2)
    each = logs[:, np.newaxis] - 0.5 * (FREEDOM + here.shape[1]) * np.log1p(square / FREEDOM)
    return np.asarray(np.logaddexp.reduce(each, axis=0), dtype=np.float64)


def _thinned(log_weights: Floats) -> Whole:
    """Places of `COUNT` candidates, as often as they weigh, evenly spread (systematic resampling)."""
    weights = np.exp(log_weights - log_weights.max())
    edges = np.cumsum(weights / weights.sum())
    even = (np.arange(COUNT) + 0.5) / COUNT
    return np.minimum(np.searchsorted(edges, even), len(edges) - 1)


@lru_cache(maxsize=1)
def _chances(dimensions: int) -> _Chances:
    """Not `scipy.stats`, whose import costs a small board tens of megabytes."""
    rng = np.random.default_rng(5)
    one = rng.integers(0, COUNT, (MOVES, COUNT))
    other = (one + 1 + rng.integers(0, COUNT - 1, (MOVES, COUNT))) % COUNT
    even = _even(dimensions + 1)
    radius = np.sqrt(FREEDOM / (2.0 * gammaincinv(0.5 * FREEDOM, even[:, -1:])))
    return _Chances(
        first=np.asarray(ndtri(even[:, :-1]) * radius, dtype=np.float64),
        order=rng.permutation(COUNT),
        one=one,
        other=other,
        stride=STRIDE * np.exp(STRIDES_SPREAD * rng.normal(size=(MOVES, COUNT, 1))),
        jitter=JITTER * rng.normal(size=(MOVES, COUNT, dimensions)),
        threshold=np.log(rng.random((MOVES, COUNT))),
    )


def _even(dimensions: int) -> Floats:
    """Spread evenly over the unit cube: steps by powers of the root of x^(d + 1) = x + 1, modulo 1."""
    root = 1.0
    for _ in range(80):
        root = math.pow(1.0 + root, 1.0 / (dimensions + 1))
    steps = root ** -np.arange(1.0, dimensions + 1)
    return np.asarray((0.5 + np.arange(1, COUNT + 1)[:, np.newaxis] * steps) % 1.0, dtype=np.float64)
