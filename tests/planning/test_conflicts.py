"""What cannot be had: how late, why in words, and suggestions that were tried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.plan import Plan
from kitchend.core.quantities import show_duration
from kitchend.core.timeline import Timeline
from kitchend.planning import plan_dinner
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, oven, step


def planned(plan: Plan, serve_s: int) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=NOON + serve_s)


def said(timeline: Timeline) -> list[tuple[str, str | None]]:
    return [(conflict.message, conflict.change) for conflict in timeline.conflicts]


def test_a_dinner_in_time_has_no_conflicts() -> None:
    timeline = planned(dinner(step("boil the barley", 40 * MIN, uses=[on("hob")])), HOUR)
    assert timeline.is_feasible
    assert timeline.ready == timeline.serve


def test_too_little_time_says_what_takes_it_and_when_it_would_do() -> None:
    plan = dinner(
        step("brown the duck", hands=5 * MIN, takes=10 * MIN),
        step("braise the duck", 75 * MIN, after=["brown the duck"]),
    )
    timeline = planned(plan, 40 * MIN)
    assert timeline.late_by_s == 45 * MIN + 15
    takes = "from “brown the duck” to “braise the duck” takes 1 h 25 min"
    assert said(timeline) == [
        (f"dinner would be 46 min late: {takes} and the pass is in 40 min", "the pass at 13:26")
    ]


def test_the_suggested_pass_works() -> None:
    plan = dinner(step("braise the duck", 75 * MIN))
    change = planned(plan, 40 * MIN).conflicts[0].change
    assert change == "the pass at 13:15"
    assert planned(plan, 75 * MIN).is_feasible


def test_hands_wanted_twice_are_named_and_a_second_pair_works() -> None:
    chores = [step(f"slice the {what}", hands=20 * MIN, keeps=HOUR) for what in ("plums", "leeks", "bread")]
    timeline = planned(dinner(*chores), 45 * MIN)
    ((message, change),) = said(timeline)
    assert message.endswith("late: the cook is wanted in two places at once")
    assert change == "one more pair of hands, or the pass at 13:01"
    assert planned(dinner(*chores, cooks=2), 45 * MIN).is_feasible


def test_a_full_steamer_is_named_and_one_more_place_works() -> None:
    def supper(tiers: int) -> Plan:
        steamed = [
            step(f"steam the {what}", 25 * MIN, uses=[on("steamer")], keeps=HOUR) for what in ("fish", "buns")
        ]
        return dinner(*steamed, places={"steamer": tiers})

    timeline = planned(supper(1), 30 * MIN)
    ((message, change),) = said(timeline)
    assert message.endswith("late: the steamer is full")
    assert change is not None
    assert change.startswith("one more place in the steamer")
    assert planned(supper(2), 30 * MIN).is_feasible


def test_an_oven_wanted_at_two_temperatures_is_named_with_both() -> None:
    plan = dinner(
        step("bake the pie", 50 * MIN, uses=[oven(200)], keeps=HOUR),
        step("dry the meringue", 50 * MIN, uses=[oven(120)], keeps=HOUR),
    )
    timeline = planned(plan, 80 * MIN)
    ((message, change),) = said(timeline)
    assert message.endswith("late: the oven is wanted at 200 to bake the pie and at 120 to dry the meringue")
    assert change is not None
    assert change.startswith("a second oven, or both at one temperature")


def test_what_cannot_be_fresh_at_any_pass_is_said_without_a_false_hope() -> None:
    plan = dinner(
        step("bake the pie", 50 * MIN, uses=[oven(200)], keeps=2 * MIN),
        step("dry the meringue", 50 * MIN, uses=[oven(120)], keeps=2 * MIN),
    )
    timeline = planned(plan, 4 * HOUR)
    assert timeline.late_by_s == 0
    ((message, change),) = said(timeline)
    assert "it stands" in message
    assert "keeps 2 min" in message
    assert change == "a second oven, or both at one temperature"


def fried(*minutes: int, cooks: int = 1) -> Plan:
    return dinner(
        *(step(f"fry {place}", hands=n * MIN, keeps=2 * MIN) for place, n in enumerate(minutes)), cooks=cooks
    )


def test_hands_wanted_three_times_at_the_pass_take_two_more_pairs_and_no_fewer() -> None:
    timeline = planned(fried(12, 9, 8), 4 * HOUR)
    assert {change for _, change in said(timeline)} == {"two more pairs of hands"}
    assert all(message.endswith("wanted in three places at once") for message, _ in said(timeline))
    assert not planned(fried(12, 9, 8, cooks=2), 4 * HOUR).is_feasible
    assert planned(fried(12, 9, 8, cooks=3), 4 * HOUR).is_feasible


def test_what_nothing_helps_would_have_to_keep_longer_and_that_works() -> None:
    timeline = planned(fried(9, 9, 8, 8, 7), 4 * HOUR)
    changes = [change for _, change in said(timeline) if change]
    assert len(changes) == len(timeline.conflicts) == 4
    assert all("keeping for" in change for change in changes)
    stands = {place.step: -(-place.stands_s // 60) * MIN for place in timeline.planned}
    assert {
        f"“{step.replace('-', ' ')}” keeping for {show_duration(s)}" for step, s in stands.items() if s
    } == {change.removeprefix("what comes of ") for change in changes}
    slow = fried(9, 9, 8, 8, 7)
    keeping = dinner(*(replace(one, keeps_s=max(2 * MIN, stands[one.id])) for one in slow.steps))
    assert planned(keeping, 4 * HOUR).is_feasible


def test_heating_counts_in_what_takes_the_time() -> None:
    timeline = planned(dinner(step("roast the duck", 90 * MIN, uses=[oven(180)])), 40 * MIN)
    ((message, _),) = said(timeline)
    assert "from “heat the oven to 180” to “roast the duck” takes 1 h 45 min" in message


def test_more_places_than_there_are_is_said_and_the_rest_is_planned() -> None:
    timeline = planned(dinner(step("steam the buns", 20 * MIN, uses=[on("steamer", 3)])), HOUR)
    assert said(timeline) == [
        ("steam the buns needs 3 places of the steamer, which has 1", "three places of the steamer in all")
    ]
    assert len(timeline.planned) == 1


@pytest.mark.parametrize("after_noon_s", [0, 1, 55], ids=str)
def test_with_no_serving_time_it_begins_at_once_and_the_pass_is_when_all_is_ready(after_noon_s: int) -> None:
    plan = dinner(step("boil the barley", 40 * MIN + 5))
    timeline = plan_dinner(plan, now=NOW.after(after_noon_s), serve=None)
    assert timeline.planned[0].start - NOON == after_noon_s
    assert timeline.serve == timeline.ready == NOON + after_noon_s + 40 * MIN + 5
    assert timeline.late_by_s == 0


def test_a_pass_nobody_asked_for_planned_again_moves_nothing() -> None:
    plan = dinner(step("boil the barley", 40 * MIN + 5), step("fry the eggs", 5 * MIN, hands=5 * MIN))
    first = plan_dinner(plan, now=NOW, serve=None)
    assert plan_dinner(plan, now=NOW, serve=first.serve).planned == first.planned


def test_with_no_serving_time_nothing_stands_longer_than_it_keeps() -> None:
    plan = dinner(
        step("boil the eggs", 10 * MIN, keeps=5 * MIN),
        step("braise the duck", 90 * MIN, keeps=20 * MIN),
    )
    timeline = plan_dinner(plan, now=NOW, serve=None)
    assert timeline.is_feasible
    (eggs,) = [planned for planned in timeline.planned if planned.step == "boil-the-eggs"]
    assert eggs.stands_s <= 5 * MIN


def test_a_pass_already_gone_by_is_late_from_then() -> None:
    timeline = planned(dinner(step("boil the eggs", 10 * MIN)), -5 * MIN)
    assert timeline.late_by_s == 15 * MIN
    assert timeline.serve == NOON + -5 * MIN


def test_steps_in_a_circle_still_get_a_timeline() -> None:
    plan = dinner(step("chop", 5 * MIN, after=["stir"]), step("stir", 5 * MIN, after=["chop"]))
    assert len(planned(plan, HOUR).planned) == 2
