"""Commands held against chances of phones: as by trying every way they may lie in the sound."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.hearing.search import Floats, Searchable, Units, nearest_to
from kitchend.hearing.sounding import (
    BLANK,
    PHONES,
    Sounding,
    freely,
    heard_phones,
    likelihoods,
    units_of,
)
from tests.hearing.test_search import Net, Way

SAID = {"hold": (2, 3), "the": (4,), "rice": (1, 5), "beans": (3, 1), "five": (5, 2), "more": (2,)}
DINNER = Net(
    final=4,
    arcs=(
        Way(0, 1, 0.6, "hold"),
        Way(0, 2, 0.4, "five"),
        Way(1, 3, 0.6, "the"),
        Way(1, 4, 0.4, "beans"),
        Way(3, 4, 1.0, "rice"),
        Way(2, 4, 0.7, "more"),
        Way(2, 4, 0.3, None),
    ),
)
ROWS = ((2, 3, 3, 1), (2, 3, 4, 1, 5), (5, 2, 2), (5, 2), ())
COUNT = 6


def chances(seed: int, frames: int) -> Floats:
    """log chances of the blank and five phones, float32[frames, 6]"""
    drawn = np.random.default_rng(seed).normal(scale=2.0, size=(frames, COUNT))
    found: Floats = (drawn - np.log(np.exp(drawn).sum(axis=1, keepdims=True))).astype(np.float32)
    return found


def every_way(log_chances: Floats) -> Iterator[tuple[Units, float]]:
    """every way through the frames: the phones that it says, and its log likelihood"""
    for way in product(range(COUNT), repeat=len(log_chances)):
        said = tuple(unit for unit, _ in groupby(way) if unit != BLANK)
        yield said, float(sum(log_chances[i, unit] for i, unit in enumerate(way)))


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 6))
def test_likelihoods_add_up_every_way_a_row_may_lie_in_the_sound(seed: int, frames: int) -> None:
    log_chances = chances(seed, frames)
    total = dict.fromkeys(ROWS, -np.inf)
    for said, score in every_way(log_chances):
        if said in total:
            total[said] = float(np.logaddexp(total[said], score))
    assert likelihoods(log_chances, ROWS) == pytest.approx(list(total.values()), abs=1e-4)


def test_all_rows_there_can_be_are_all_there_is() -> None:
    log_chances = chances(3, 4)
    rows = sorted({said for said, _ in every_way(log_chances)})
    assert np.exp(likelihoods(log_chances, rows)).sum() == pytest.approx(1.0, abs=1e-5)


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10_000), st.integers(5, 7))
def test_a_search_finds_each_command_at_the_cost_of_its_best_way(seed: int, frames: int) -> None:
    log_chances = chances(seed, frames)
    best: dict[Units, float] = {}
    for said, score in every_way(log_chances):
        best[said] = max(best.get(said, -np.inf), score)
    grammar = Searchable(DINNER, lambda word: (SAID[word],), unlikely=1.0)
    found = list(nearest_to(grammar, Sounding(log_chances)))
    assert {one.text for one in found} == {"hold the rice", "hold beans", "five more", "five"}
    for one in found:
        row = sum((SAID[word] for word in one.text.split()), ())
        if all(a != b for a, b in pairwise(row)):
            likelihood = freely(log_chances) - (one.cost + one.log_share)
            assert likelihood == pytest.approx(best[row], abs=1e-3)
    assert [one.cost for one in found] == sorted(one.cost for one in found)


@pytest.mark.parametrize(
    ("way", "heard"),
    [
        pytest.param([0, 2, 2, 0, 3], (2, 3), id="a phone may last"),
        pytest.param([2, 0, 2], (2, 2), id="a blank tells two alike"),
        pytest.param([2, 3, 0, 0], (2, 3), id="none is needed between others"),
        pytest.param([0, 0], (), id="nothing"),
    ],
)
def test_phones_heard_are_those_of_the_likeliest_way(way: Sequence[int], heard: Units) -> None:
    log_chances = np.full((len(way), COUNT), -9.0, np.float32)
    log_chances[np.arange(len(way)), way] = -0.001
    assert heard_phones(log_chances) == heard
    assert freely(log_chances) == pytest.approx(-0.001 * len(way))
    assert likelihoods(log_chances, [heard])[0] == pytest.approx(-0.001 * len(way), abs=0.01)


def test_phones_have_the_dictionarys_names() -> None:
    assert len(PHONES) == 39
    assert units_of("AA ZH") == (1, 39)
    with pytest.raises(KeyError):
        units_of("XX")


def test_a_sound_of_blanks_alone_can_be_searched() -> None:
    log_chances = np.full((5, COUNT), -9.0, np.float32)
    log_chances[:, BLANK] = -0.0001
    grammar = Searchable(DINNER, lambda word: (SAID[word],))
    assert all(one.cost > 1000 for one in nearest_to(grammar, Sounding(log_chances)))
