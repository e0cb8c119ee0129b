"""Ovens: heated before anything goes in, at one temperature at a time, shared where that can be."""

from __future__ import annotations

import pytest

from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.checker import Kitchen, faults
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, harbour_supper, on, oven, step

USUAL = PlanningSettings()


def heatings(timeline: Timeline) -> list[str]:
    return [step.name for step in sorted(timeline.added, key=lambda step: start(timeline, step.id))]


def start(timeline: Timeline, step_id: str) -> float:
    return next(planned.start - NOON for planned in timeline.planned if planned.step == step_id)


def end(timeline: Timeline, step_id: str) -> float:
    return next(planned.end - NOON for planned in timeline.planned if planned.step == step_id)


def planned(plan: Plan, serve_s: int = 4 * HOUR) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=NOON + serve_s)


def test_a_cold_oven_is_heated_first_under_a_name_of_its_own() -> None:
    timeline = planned(dinner(step("bake the bread", HOUR, uses=[oven(220)])))
    (heat,) = timeline.added
    assert heat.id == "oven/heat to 220 before bake-the-bread"
    assert heat.name == "heat the oven to 220"
    assert heat.added
    assert heat.takes.high_s == USUAL.preheat_s
    assert heat.dish == "oven"
    waits = start(timeline, "bake-the-bread") - end(timeline, heat.id)
    assert USUAL.answer_s <= waits <= USUAL.answer_s + USUAL.heat_wait_s


def test_a_plan_may_give_its_own_time_to_heat() -> None:
    timeline = planned(dinner(step("bake the bread", HOUR, uses=[oven(220)]), preheat=40 * MIN))
    assert [step.takes.high_s for step in timeline.added] == [40 * MIN]


def test_an_oven_that_is_always_hot_is_never_heated() -> None:
    timeline = planned(dinner(step("bake the bread", HOUR, uses=[oven(220)]), preheat=0))
    assert timeline.added == ()


def test_two_within_ten_degrees_share_one_heating() -> None:
    plan = dinner(
        step("bake the bread", HOUR, uses=[oven(200)]), step("bake the onions", HOUR, uses=[oven(210)])
    )
    timeline = planned(plan)
    assert len(timeline.added) == 1
    assert abs(start(timeline, "bake-the-bread") - start(timeline, "bake-the-onions")) <= MIN


def test_another_temperature_waits_and_the_oven_is_turned() -> None:
    plan = dinner(
        step("bake the custard", 40 * MIN, uses=[oven(120)], keeps=None),
        step("bake the bread", 30 * MIN, uses=[oven(220)], keeps=5 * MIN),
    )
    timeline = planned(plan)
    assert heatings(timeline) == ["heat the oven to 120", "turn the oven to 220"]
    turned = timeline.added[1]
    assert turned.takes.high_s == 10 * USUAL.change_s_per_10c
    assert start(timeline, turned.id) >= end(timeline, "bake-the-custard")
    assert start(timeline, "bake-the-bread") >= end(timeline, turned.id)


def test_an_oven_left_for_longer_than_it_lingers_is_heated_again() -> None:
    plan = dinner(
        step("bake the custard", 40 * MIN, uses=[oven(200)], keeps=0),
        step("chill the custard", 2 * HOUR, after=["bake the custard"], keeps=0),
        step("bake the bread", 30 * MIN, uses=[oven(200)], keeps=5 * MIN),
    )
    assert heatings(planned(plan)) == ["heat the oven to 200", "heat the oven to 200"]


def test_fahrenheit_is_called_as_the_plan_has_it() -> None:
    from dataclasses import replace

    from kitchend.core.plan import EquipmentId, Use
    from kitchend.core.quantities import Scale, Temperature

    use = Use(equipment=EquipmentId("oven"), at=Temperature(degrees=425, scale=Scale.FAHRENHEIT))
    bake = replace(step("bake the bread", HOUR), uses=(use,))
    assert heatings(planned(dinner(bake))) == ["heat the oven to 425"]


def test_heating_takes_hands_that_are_then_not_elsewhere() -> None:
    plan = dinner(
        step("knead the dough", hands=20 * MIN, keeps=10 * MIN),
        step("bake the bread", 30 * MIN, uses=[oven(220)], after=["knead the dough"]),
        step("chop the onions", hands=15 * MIN, keeps=None),
    )
    timeline = planned(plan)
    at = start(timeline, timeline.added[0].id)
    for chore in ("knead-the-dough", "chop-the-onions"):
        assert not start(timeline, chore) < at + USUAL.heat_hands_s <= end(timeline, chore)


@pytest.mark.parametrize("serve_s", [5 * HOUR, 4 * HOUR], ids=["time to spare", "just enough"])
def test_names_of_heatings_stay_the_same_when_the_pass_moves(serve_s: int) -> None:
    first = {step.id for step in planned(harbour_supper(), 6 * HOUR).added}
    assert {step.id for step in planned(harbour_supper(), serve_s).added} == first


def test_rings_need_no_heating() -> None:
    assert planned(dinner(step("boil the barley", HOUR, uses=[on("hob")]))).added == ()


def test_an_oven_does_not_drift_by_way_of_what_lies_between() -> None:
    """What bakes at 190 may find 200, and 180 may find 190, but not an oven that was set to 200."""
    plan = dinner(
        step("bake the bread", 20 * MIN, uses=[oven(200)], keeps=20 * MIN),
        step("bake the onions", 20 * MIN, uses=[oven(190)], after=["bake the bread"], keeps=20 * MIN),
        step("bake the pears", 20 * MIN, uses=[oven(180)], after=["bake the onions"], keeps=20 * MIN),
    )
    timeline = planned(plan)
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=USUAL)) == []
    assert len(timeline.added) == 2
