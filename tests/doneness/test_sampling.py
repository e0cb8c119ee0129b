"""The sampler on densities whose moments are known."""

from __future__ import annotations

import numpy as np
import pytest

from kitchend.doneness.conduction import Floats
from kitchend.doneness.sampling import COUNT, Peaks, drawn

SPREAD = np.array([1.0, 0.5, 2.0, 0.1])


def two_peaks(theta: Floats) -> Floats:
    """Normals at -4 and +4 spreads along the first line, the second three times as heavy."""
    off = theta / SPREAD
    rest = -0.5 * np.sum(off[:, 1:] ** 2, axis=1)
    left, right = (-0.5 * (off[:, 0] - at) ** 2 for at in (-4.0, 4.0))
    return np.asarray(np.logaddexp(left, right + np.log(3.0)) + rest, dtype=np.float64)


def peaks(*places: float) -> Peaks:
    middles = np.zeros((len(places), len(SPREAD)))
    middles[:, 0] = places
    return Peaks(
        places=middles,
        costs=np.zeros(len(places)),
        roots=np.stack([np.diag(SPREAD)] * len(places)),
    )


def test_a_normal_is_drawn_with_its_own_middle_and_spread() -> None:
    found = drawn(lambda theta: -0.5 * np.sum((theta / SPREAD) ** 2, axis=1), peaks(0.0), SPREAD)
    assert found.shape == (COUNT, len(SPREAD))
    assert np.abs(found.mean(axis=0) / SPREAD).max() < 0.35
    assert found.std(axis=0) / SPREAD == pytest.approx(np.ones(len(SPREAD)), rel=0.3)
    assert np.sum((found[0] / SPREAD) ** 2) == np.sum((found / SPREAD) ** 2, axis=1).min()


def test_both_of_two_peaks_are_kept_and_the_heavier_has_more() -> None:
    found = drawn(two_peaks, peaks(-4.0, 4.0), SPREAD)
    assert 0.5 < np.mean(found[:, 0] > 0) < 0.95


def test_what_is_drawn_is_always_the_same() -> None:
    assert np.array_equal(
        drawn(two_peaks, peaks(-4.0, 4.0), SPREAD), drawn(two_peaks, peaks(-4.0, 4.0), SPREAD)
    )
