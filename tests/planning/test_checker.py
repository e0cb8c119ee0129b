"""The checker itself: each rule broken by hand is found, so that finding nothing counts for something."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from kitchend.core.plan import StepId
from kitchend.core.timeline import Planned, Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.checker import Kitchen, faults, freshness_faults
from tests.planning.dinners import HOUR, MIN, NOON, NOW, harbour_supper

GOOD = plan_dinner(harbour_supper(), now=NOW, serve=NOON + 6 * HOUR)
HEAT, TURN = (step.id for step in sorted(GOOD.added, key=lambda step: step.takes.high_s, reverse=True))


def kitchen(timeline: Timeline) -> Kitchen:
    return Kitchen(plan=harbour_supper(), timeline=timeline, now=NOW, settings=PlanningSettings())


def place_of(name: str) -> Planned:
    found = GOOD.of(StepId(name))
    assert found is not None
    return found


def put(name: str, by_s: float) -> Timeline:
    """The good timeline with one step so many seconds later."""
    moved = [
        replace(one, start=one.start + by_s, end=one.end + by_s) if one.step == name else one
        for one in GOOD.planned
    ]
    return replace(GOOD, planned=tuple(moved))


def without(name: str) -> Timeline:
    planned = tuple(one for one in GOOD.planned if one.step != name)
    return replace(GOOD, planned=planned, added=tuple(step for step in GOOD.added if step.id != name))


def onto(name: str, other: str) -> Timeline:
    """One step put to the start of another."""
    return put(name, place_of(other).start - place_of(name).start)


def test_a_good_timeline_has_no_faults() -> None:
    assert faults(kitchen(GOOD)) == []
    assert freshness_faults(kitchen(GOOD)) == []


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda: without("trim-the-beans"), "trim the beans is missing"),
        (lambda: put("rub-the-pork", -6 * HOUR), "rub the pork starts before now"),
        (
            lambda: onto("steam-the-beans", "trim-the-beans"),
            "steam the beans starts before trim-the-beans ends",
        ),
        (lambda: put("turn-the-pork", -HOUR), "turn the pork reminds too soon"),
        (lambda: onto("whip-the-cream", "slice-the-plums"), "hands in two places"),
        (lambda: put("lay-the-table", HOUR), "something ends after the pass"),
        (lambda: without(HEAT), "braise the pork finds the oven at 0"),
        (lambda: put(HEAT, 10 * MIN), "braise the pork goes in before the oven is hot"),
        (lambda: without(TURN), "bake the flatbread finds the oven at 150"),
        (
            lambda: onto("bake-the-flatbread", "braise-the-pork"),
            "braise the pork and bake the flatbread want the oven at two temperatures",
        ),
        (lambda: replace(GOOD, late_by_s=60), "the lateness is not what it says"),
    ],
    ids=[
        "missing",
        "past",
        "order",
        "reminder",
        "hands",
        "pass",
        "cold",
        "not yet hot",
        "too cool",
        "two degrees",
        "late",
    ],
)
def test_each_broken_rule_is_found(spoil: Callable[[], Timeline], said: str) -> None:
    assert said in faults(kitchen(spoil()))


def test_too_much_in_one_place_is_found() -> None:
    narrow = replace(
        harbour_supper(), equipment=tuple(replace(e, places=1) for e in harbour_supper().equipment)
    )
    assert "too much in the oven" in faults(replace(kitchen(GOOD), plan=narrow))


def test_heating_cut_short_is_found() -> None:
    short = tuple(replace(one, end=one.start + 5 * MIN) if one.step == HEAT else one for one in GOOD.planned)
    assert "heat the oven to 150 is too short" in faults(kitchen(replace(GOOD, planned=short)))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda: put("steam-the-beans", -30 * MIN), "steam the beans stands too long"),
        (lambda: put("turn-the-pork", HOUR), "turn the pork reminds too late"),
    ],
    ids=["stale", "late reminder"],
)
def test_what_is_not_fresh_is_found(spoil: Callable[[], Timeline], said: str) -> None:
    assert said in freshness_faults(kitchen(spoil()))
