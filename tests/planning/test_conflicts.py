"""What cannot be had: how late, why in words, and suggestions that were tried."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, PlaceWord, Plan, Use
from kitchend.core.quantities import Temperature, show_duration
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.planning.collisions import Judge, collision_of, only
from kitchend.planning.tasks import problem_of_plan
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, harbour_supper, on, oven, step
from tests.planning.random_dinners import dinners


def planned(plan: Plan, serve_s: int) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=NOON + serve_s)


def said(timeline: Timeline) -> list[tuple[str, tuple[str, ...]]]:
    return [(conflict.message, conflict.changes) for conflict in timeline.conflicts]


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
    assert timeline.late_by_s == 45 * MIN + PlanningSettings().answer_s
    takes = "from “brown the duck” to “braise the duck” takes 1 h 25 min"
    assert said(timeline) == [
        (
            f"dinner would be 46 min late: {takes} and the pass is in 40 min",
            ("the pass at 13:26, 46 min later",),
        )
    ]


def test_the_suggested_pass_works() -> None:
    plan = dinner(step("braise the duck", 75 * MIN))
    assert said(planned(plan, 40 * MIN))[0][1] == ("the pass at 13:15, 35 min later",)
    assert planned(plan, 75 * MIN).is_feasible
    assert not planned(plan, 74 * MIN).is_feasible


def test_hands_wanted_twice_are_named_and_a_second_pair_works() -> None:
    chores = [step(f"slice the {what}", hands=20 * MIN, keeps=HOUR) for what in ("plums", "leeks", "bread")]
    ((message, changes),) = said(planned(dinner(*chores), 45 * MIN))
    wanted = "to slice the plums, to slice the leeks and to slice the bread"
    assert message == f"dinner would be 16 min late: the cook is wanted {wanted}, and the pass is at 12:45"
    assert changes == ("the pass at 13:01, 16 min later", "one more pair of hands")
    assert planned(dinner(*chores), 61 * MIN).is_feasible
    assert planned(dinner(*chores, cooks=2), 45 * MIN).is_feasible


@pytest.mark.parametrize(
    ("word", "what"),
    [
        (PlaceWord.SHELVES, "one more shelf in the steamer"),
        (PlaceWord.RINGS, "one more ring on the steamer"),
        (PlaceWord.TIERS, "one more tier in the steamer"),
    ],
    ids=lambda one: getattr(one, "value", None),
)
def test_a_place_more_is_offered_by_the_word_the_plan_counts_with(word: PlaceWord, what: str) -> None:
    names = ("fish", "buns")
    steamed = [step(f"steam the {name}", 25 * MIN, uses=[on("steamer")], keeps=HOUR) for name in names]
    plan = dinner(*steamed, places={"steamer": 1})
    counted = tuple(replace(item, word=word) for item in plan.equipment)
    ((message, changes),) = said(planned(replace(plan, equipment=counted), 30 * MIN))
    assert f"the steamer, which has one {what.split()[2]}, is wanted" in message
    assert changes[1:] == (what,)
    roomier = tuple(replace(item, places=2) for item in counted)
    assert planned(replace(plan, equipment=roomier), 30 * MIN).is_feasible


def test_where_the_time_alone_is_too_short_doing_without_a_long_dish_is_offered() -> None:
    dishes = {"stew": step("braise the oxtail", 4 * HOUR), "mash": step("boil the celeriac", 25 * MIN)}
    both = tuple(
        Dish(id=DishId(name), name=name, steps=(replace(one, dish=DishId(name)),))
        for name, one in dishes.items()
    )
    ((message, changes),) = said(planned(replace(dinner(), dishes=both), 2 * HOUR))
    assert message == "dinner would be 2 h late: braise the oxtail takes 4 h and the pass is in 2 h"
    assert changes == ("the pass at 16:00, 2 h later", "doing without the stew")
    assert planned(replace(dinner(), dishes=both[1:]), 2 * HOUR).is_feasible


def test_two_cooks_who_are_wanted_three_times_are_both_named() -> None:
    ((message, changes),) = said(planned(fried(9, 9, 9, cooks=2), 4 * HOUR))
    assert "both cooks are wanted to fry " in message
    assert "one more pair of hands" in changes


def test_a_full_steamer_is_named_and_a_second_one_works() -> None:
    def supper(tiers: int) -> Plan:
        steamed = [
            step(f"steam the {what}", 25 * MIN, uses=[on("steamer")], keeps=HOUR) for what in ("fish", "buns")
        ]
        return dinner(*steamed, places={"steamer": tiers})

    ((message, changes),) = said(planned(supper(1), 30 * MIN))
    why = "the steamer, which has one place, is wanted to steam the fish and to steam the buns"
    assert message == f"dinner would be 20 min late: {why}, and the pass is at 12:30"
    assert changes == ("the pass at 12:50, 20 min later", "a second steamer")
    assert planned(supper(2), 30 * MIN).is_feasible


def test_an_oven_wanted_at_two_temperatures_is_named_with_both() -> None:
    plan = dinner(
        step("bake the pie", 50 * MIN, uses=[oven(200)], keeps=HOUR),
        step("dry the meringue", 50 * MIN, uses=[oven(120)], keeps=HOUR),
    )
    ((message, changes),) = said(planned(plan, 80 * MIN))
    why = "the oven is wanted at 200 to bake the pie and at 120 to dry the meringue"
    assert message == f"dinner would be 44 min late: {why}, and the pass is at 13:20"
    assert changes == ("the pass at 14:04, 44 min later", "a second oven to bake the pie")


def pie_and_meringue(*, pie_keeps: int = 2 * MIN, meringue_keeps: int = 2 * MIN) -> Plan:
    """Two dishes that want one oven at two temperatures, and to be fresh together."""
    steps = (
        step("bake the pie", 50 * MIN, uses=[oven(200)], keeps=pie_keeps),
        step("dry the meringue", 50 * MIN, uses=[oven(120)], keeps=meringue_keeps),
    )
    dishes = tuple(
        Dish(id=DishId(name), name=name, steps=(replace(one, dish=DishId(name)),))
        for name, one in zip(("pie", "meringue"), steps, strict=True)
    )
    return replace(dinner(), dishes=dishes)


def test_what_cannot_be_fresh_at_any_pass_names_all_that_collides_and_nothing_else() -> None:
    timeline = planned(pie_and_meringue(), 4 * HOUR)
    assert timeline.late_by_s == 0
    ((message, _),) = said(timeline)
    assert message == (
        "after “dry the meringue” it stands 59 min and keeps 2 min: "
        "the oven is wanted at 200 to bake the pie and at 120 to dry the meringue, "
        "and “bake the pie” and “dry the meringue” must both be fresh at 16:00"
    )


def test_every_change_that_is_offered_works_and_cheaper_ones_come_first() -> None:
    ((_, changes),) = said(planned(pie_and_meringue(), 4 * HOUR))
    assert changes == (
        "“bake the pie” keeping for 59 min",
        "“dry the meringue” keeping for 59 min",
        "a second oven to bake the pie",
        "doing without the pie",
        "doing without the meringue",
    )
    plan = pie_and_meringue()
    pie, meringue = plan.dishes
    second = Use(equipment=EquipmentId("oven 2"), at=Temperature(degrees=200))
    two_ovens = replace(
        plan,
        equipment=(*plan.equipment, Equipment(id=second.equipment, name="oven")),
        dishes=(replace(pie, steps=(replace(pie.steps[0], uses=(second,)),)), meringue),
    )
    changed = [
        pie_and_meringue(pie_keeps=59 * MIN),
        pie_and_meringue(meringue_keeps=59 * MIN),
        two_ovens,
        replace(plan, dishes=(meringue,)),
        replace(plan, dishes=(pie,)),
    ]
    assert [planned(one, 4 * HOUR).is_feasible for one in changed] == [True] * 5


def test_what_may_stand_longer_is_said_with_no_more_than_it_takes() -> None:
    assert not planned(pie_and_meringue(pie_keeps=57 * MIN), 4 * HOUR).is_feasible
    assert planned(pie_and_meringue(pie_keeps=59 * MIN), 4 * HOUR).is_feasible


def fried(*minutes: int, cooks: int = 1) -> Plan:
    return dinner(
        *(step(f"fry {place}", hands=n * MIN, keeps=2 * MIN) for place, n in enumerate(minutes)), cooks=cooks
    )


def test_hands_wanted_three_times_at_the_pass_take_two_more_pairs_and_no_fewer() -> None:
    ((message, changes),) = said(planned(fried(12, 9, 8), 4 * HOUR))
    assert changes == ("two more pairs of hands",)
    assert "the cook is wanted to fry 1 and to fry 2" in message
    assert not planned(fried(12, 9, 8, cooks=2), 4 * HOUR).is_feasible
    assert planned(fried(12, 9, 8, cooks=3), 4 * HOUR).is_feasible


def test_what_no_single_change_helps_would_have_to_keep_longer_together_and_that_works() -> None:
    timeline = planned(fried(9, 9, 8, 8, 7), 4 * HOUR)
    ((message, (change,)),) = said(timeline)
    assert ", and three more: " in message
    stands = {place.step: -(-place.stands_s // 60) * MIN for place in timeline.planned}
    assert set(change.split(" and ")) == {
        f"“{step.replace('-', ' ')}” keeping for {show_duration(s)}" for step, s in stands.items() if s
    }
    slow = fried(9, 9, 8, 8, 7)
    keeping = dinner(*(replace(one, keeps_s=max(2 * MIN, stands[one.id])) for one in slow.steps))
    assert planned(keeping, 4 * HOUR).is_feasible


CANNOT_BE_HAD = {
    "an oven at two temperatures": (pie_and_meringue(), 4 * HOUR),
    "hands": (fried(12, 9, 8), 4 * HOUR),
    "more hands than can be had": (fried(9, 9, 8, 8, 7), 4 * HOUR),
    "a whole supper in two hours": (harbour_supper(), 2 * HOUR),
    "a whole supper a little late": (harbour_supper(), 216 * MIN),
}


@pytest.mark.parametrize(("plan", "serve_s"), CANNOT_BE_HAD.values(), ids=CANNOT_BE_HAD.keys())
def test_of_what_collides_every_single_thing_is_needed(plan: Plan, serve_s: int) -> None:
    problem = problem_of_plan(plan, serve_s, PlanningSettings())
    collision = collision_of(problem, Judge(20.0))
    assert collision
    judge = Judge(20.0)
    assert judge.can_be(only(problem, collision)) is False
    for want in collision:
        assert judge.can_be(only(problem, [other for other in collision if other != want])) is True


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(dinners(), st.sampled_from([5 * MIN, 10 * MIN, 20 * MIN]))
def test_of_what_collides_in_any_dinner_every_single_thing_is_needed(plan: Plan, serve_s: int) -> None:
    problem = problem_of_plan(plan, serve_s, PlanningSettings())
    collision = collision_of(problem, Judge(20.0))
    judge = Judge(20.0)
    assert bool(collision) == (judge.can_be(problem) is False)
    for want in collision:
        assert judge.can_be(only(problem, [other for other in collision if other != want])) is True


def test_heating_counts_in_what_takes_the_time() -> None:
    timeline = planned(dinner(step("roast the duck", 90 * MIN, uses=[oven(180)])), 40 * MIN)
    ((message, _),) = said(timeline)
    assert "from “heat the oven to 180” to “roast the duck” takes 1 h 45 min" in message


def test_more_places_than_there_are_is_said_and_the_rest_is_planned() -> None:
    timeline = planned(dinner(step("steam the buns", 20 * MIN, uses=[on("steamer", 3)])), HOUR)
    assert said(timeline) == [
        ("steam the buns needs 3 places of the steamer, which has 1", ("three places of the steamer in all",))
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
