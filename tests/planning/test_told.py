"""What a timeline tells beside its times: what a step waits for, whose hands, rushes, heats, each dish's
pass.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitchend.core import moves
from kitchend.core.plan import Dish, DishId, Plan, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Hold, Planned, Timeline, WaitsFor
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, harbour_supper, on, oven, step
from tests.planning.random_dinners import dinners

GAP = PlanningSettings().answer_s


def planned(plan: Plan, serve_s: int | None) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=None if serve_s is None else NOON + serve_s)


def place(timeline: Timeline, name: str) -> Planned:
    found = timeline.of(StepId(name.replace(" ", "-")))
    assert found is not None
    return found


def test_a_step_waits_for_the_one_before_it() -> None:
    plan = dinner(
        step("boil the barley", 40 * MIN, keeps=2 * MIN),
        step("season the barley", hands=2 * MIN, after=["boil the barley"]),
    )
    waits = place(planned(plan, 2 * HOUR), "season the barley").waits_for
    assert waits == WaitsFor(hold=Hold.STEP, step=StepId("boil-the-barley"))


def test_what_nothing_holds_starts_as_late_as_the_pass_lets_it() -> None:
    plan = dinner(step("boil the barley", 40 * MIN))
    assert place(planned(plan, 2 * HOUR), "boil the barley").waits_for == WaitsFor(hold=Hold.PASS)
    assert place(planned(plan, 40 * MIN), "boil the barley").waits_for == WaitsFor(hold=Hold.NOW)


def test_what_waits_for_a_full_steamer_says_who_is_in_it() -> None:
    plan = dinner(
        step("steam the buns", 20 * MIN, uses=[on("steamer")], keeps=None),
        step("steam the fish", 10 * MIN, uses=[on("steamer")], keeps=2 * MIN),
    )
    waits = place(planned(plan, None), "steam the fish").waits_for
    assert waits is not None
    assert (waits.hold, waits.step, waits.equipment) == (Hold.EQUIPMENT, "steam-the-buns", "steamer")


def test_what_waits_for_hands_says_what_they_do() -> None:
    plan = dinner(step("slice the plums", hands=20 * MIN, keeps=None), step("fry the eggs", hands=5 * MIN))
    waits = place(planned(plan, None), "fry the eggs").waits_for
    assert waits == WaitsFor(hold=Hold.HANDS, step=StepId("slice-the-plums"))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(dinners(), st.sampled_from([None, 40 * MIN, 2 * HOUR]), st.integers(1, 3))
def test_the_hands_of_one_cook_never_overlap(plan: Plan, serve_s: int | None, cooks: int) -> None:
    timeline = planned(replace(plan, cooks=cooks), serve_s)
    steps = {one.id: one for one in (*plan.steps, *timeline.added)}
    for cook in range(cooks):
        work = sorted(
            (p.start.epoch_s, p.start.epoch_s + steps[p.step].hands_s)
            for p in timeline.planned
            if p.cook == cook and steps[p.step].hands_s
        )
        assert all(end <= start for (_, end), (start, _) in pairwise(work))
    assert {p.cook for p in timeline.planned} <= set(range(cooks))


def test_two_cooks_share_the_work() -> None:
    plan = replace(harbour_supper(), cooks=2)
    timeline = planned(plan, 4 * HOUR)
    by_hand = {one.id: one for one in plan.steps if one.hands_s}
    work = [
        sum(by_hand[p.step].hands_s for p in timeline.planned if p.step in by_hand and p.cook == cook)
        for cook in (0, 1)
    ]
    assert min(work) > 0.2 * sum(work)


def test_a_cook_keeps_a_step_when_the_rest_is_planned_again() -> None:
    plan = dinner(
        step("slice the plums", hands=20 * MIN, keeps=HOUR),
        step("fry the eggs", hands=20 * MIN),
        step("dress the salad", hands=20 * MIN),
        cooks=2,
    )
    timeline = planned(plan, 2 * HOUR)
    state = DinnerState(plan=plan, serve=NOON + 2 * HOUR, timeline=timeline)
    first = timeline.planned[0]
    now = NOW.after(first.start - NOON)
    state = moves.call(state, plan.step(first.step), now) or state
    again = plan_rest(state, now=now.after(20))
    assert {p.step: p.cook for p in again.planned} == {p.step: p.cook for p in timeline.planned}


def test_a_rush_is_told_with_its_work_and_a_quiet_evening_has_none() -> None:
    rush = dinner(*(step(f"fry {n}", hands=5 * MIN, keeps=30 * MIN) for n in range(4)))
    (busy,) = planned(rush, 2 * HOUR).busiest
    assert busy.hands_s >= 0.9 * 20 * MIN - 4 * GAP
    assert busy.end - busy.start <= 20 * MIN
    assert planned(dinner(step("boil the barley", 40 * MIN, hands=MIN)), 2 * HOUR).busiest == ()


def test_two_cooks_who_both_work_up_to_the_pass_have_a_rush_too() -> None:
    """Eleven minutes of two pairs of hands are less than most of twenty, and yet no hand is free."""
    fried = [step(f"fry {n}", hands=11 * MIN, keeps=2 * MIN) for n in range(2)]
    (busy,) = planned(dinner(*fried, cooks=2), 2 * HOUR).busiest
    assert (busy.end - busy.start, busy.hands_s) == (11 * MIN, 22 * MIN)
    alone = planned(dinner(fried[0], cooks=2), 2 * HOUR)
    assert alone.busiest == ()


def test_an_oven_is_hot_from_when_it_is_to_when_the_last_is_out() -> None:
    plan = dinner(
        step("bake the custard", 50 * MIN, hands=MIN, uses=[oven(160)], keeps=None),
        step("bake the pie", 40 * MIN, hands=MIN, uses=[oven(200)]),
        step("bake the tart", 20 * MIN, hands=MIN, uses=[oven(205)]),
    )
    timeline = planned(plan, 4 * HOUR)
    low, high = timeline.heats
    custard, pie = place(timeline, "bake the custard"), place(timeline, "bake the pie")
    assert (low.equipment, low.at.degrees, low.end) == ("oven", 160, custard.end)
    assert low.start <= custard.start
    assert (high.at.degrees, high.end) == (200, pie.end)
    heated = timeline.of(timeline.added[1].id)
    assert heated is not None
    assert high.start == heated.end


def two_passes(before_s: int) -> Plan:
    """A supper and, so long before it, a starter."""
    soup = [
        step("warm the soup", 20 * MIN, keeps=5 * MIN),
        step("ladle the soup", hands=2 * MIN, after=["warm the soup"]),
    ]
    stew = [step("braise the duck", 80 * MIN, keeps=5 * MIN)]
    dishes = (
        Dish(id=DishId("soup"), name="soup", steps=_of("soup", soup), before_pass_s=before_s),
        Dish(id=DishId("duck"), name="duck", steps=_of("duck", stew)),
    )
    return replace(dinner(), dishes=dishes)


def _of(dish: str, steps: list[Step]) -> tuple[Step, ...]:
    return tuple(replace(one, dish=DishId(dish)) for one in steps)


@pytest.mark.parametrize("before_s", [0, 30 * MIN, HOUR], ids=str)
def test_a_dish_with_its_own_pass_is_ready_for_that_one(before_s: int) -> None:
    timeline = planned(two_passes(before_s), 3 * HOUR)
    ladle = place(timeline, "ladle the soup")
    assert ladle.end == NOON + 3 * HOUR - before_s
    assert ladle.stands_s == 0
    assert ladle.slack_s == 0
    assert place(timeline, "braise the duck").end == NOON + 3 * HOUR
    assert (timeline.ready, timeline.late_by_s) == (timeline.serve, 0)


def deciding(timeline: Timeline, before_s: int) -> list[str]:
    """What decides the pass so long before the last, in the order of its start."""
    own = [one for one in timeline.planned if before_s in one.decides]
    return [one.step for one in sorted(own, key=lambda one: one.start.epoch_s)]


def test_each_pass_has_the_chain_that_decides_it() -> None:
    timeline = planned(two_passes(HOUR), 3 * HOUR)
    assert deciding(timeline, HOUR) == ["warm-the-soup", "ladle-the-soup"]
    assert deciding(timeline, 0) == ["braise-the-duck"]
    assert all(one.is_critical for one in timeline.planned)


def test_what_is_brought_to_one_pass_decides_it_though_another_pass_has_less_room() -> None:
    """The duck takes 80 minutes of three hours, the soup 22 of two; rice nobody waits for decides nothing."""
    plan = two_passes(HOUR)
    rice = Dish(id=DishId("rice"), name="rice", steps=_of("rice", [step("boil the rice", 12 * MIN)]))
    timeline = planned(replace(plan, dishes=(*plan.dishes, rice)), 3 * HOUR)
    assert place(timeline, "boil the rice").decides == ()
    assert place(timeline, "braise the duck").decides == (0,)
    assert place(timeline, "ladle the soup").decides == (HOUR,)


@pytest.mark.parametrize(
    ("rings", "chain"), [(1, ["boil-the-stock", "poach-the-eggs"]), (2, ["poach-the-eggs"])], ids=str
)
def test_nothing_waits_for_a_place_where_another_was_free_all_the_time(rings: int, chain: list[str]) -> None:
    stock = [step("boil the stock", 20 * MIN, uses=[on("hob")], keeps=HOUR)]
    eggs = [step("poach the eggs", 4 * MIN, uses=[on("hob")])]
    dishes = (
        Dish(id=DishId("stock"), name="stock", steps=_of("stock", stock), before_pass_s=HOUR),
        Dish(id=DishId("eggs"), name="eggs", steps=_of("eggs", eggs)),
    )
    timeline = planned(replace(dinner(places={"hob": rings}), dishes=dishes), 3 * HOUR)
    assert deciding(timeline, 0) == chain


def test_a_dish_that_misses_its_own_pass_makes_the_dinner_late_by_as_much() -> None:
    timeline = planned(two_passes(90 * MIN), 100 * MIN)
    needs = 22 * MIN + GAP
    assert timeline.late_by_s == 90 * MIN + needs - 100 * MIN
    assert place(timeline, "ladle the soup").end == NOON + needs
