"""Several passes in one dinner: which there are, and which of them a timeline misses."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.passes import Pass, late_passes, latest, passes_of
from kitchend.core.plan import Plan, StepId
from tests.core.evening import PLAN, SEVEN, SIX, STEAM, TIMES_MIN, timeline

CHICKEN, GREENS = PLAN.dishes
APART = replace(PLAN, dishes=(replace(CHICKEN, before_pass_s=900), GREENS))
"""The chicken a quarter of an hour before the greens."""


def test_a_plan_of_its_own_has_one_pass() -> None:
    assert passes_of(PLAN) == (Pass(before_s=0, dishes=PLAN.dishes),)
    assert passes_of(Plan(name="Nothing yet")) == (Pass(),)


def test_the_earlier_pass_keeps_its_distance_to_the_last() -> None:
    first, last = passes_of(APART)
    assert (first.at(SEVEN), last.at(SEVEN)) == (SEVEN - 900, SEVEN)
    assert (first.dishes, last.dishes) == ((APART.dishes[0],), (GREENS,))


def test_a_single_pass_is_as_late_as_its_timeline() -> None:
    assert late_passes(PLAN, timeline()) == ()
    late = latest(PLAN, timeline(late_s=300))
    assert late is not None
    assert (late.at, late.late_s, late.ready) == (SEVEN, 300, SEVEN + 300)


def test_each_pass_is_late_by_itself() -> None:
    (late,) = late_passes(APART, timeline())
    assert (late.at, late.late_s, late.ready) == (SEVEN - 900, 6 * 60, SIX + 51 * 60)
    both: dict[StepId, tuple[float, float]] = {**TIMES_MIN, STEAM.id: (66, 70)}
    found = late_passes(APART, timeline(both))
    assert [one.late_s for one in found] == [360, 600]
    assert latest(APART, timeline(both)) == found[1]


def test_a_pass_whose_dishes_are_all_done_is_not_late() -> None:
    assert late_passes(APART, timeline({STEAM.id: (56, 60)})) == ()
    assert latest(APART, timeline({STEAM.id: (56, 60)})) is None
