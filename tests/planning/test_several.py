"""Several collisions in one dinner: each is told, and what is offered mends all of them together."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, PlaceWord, Plan, Step
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.planning.collisions import Judge, Want, collision_of
from kitchend.planning.several import changes_together, collisions_of
from kitchend.planning.tasks import problem_of_plan
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, oven, step

HOB = Equipment(id=EquipmentId("hob"), name="hob", word=PlaceWord.RINGS)


def stew_and_pans(*, rings: int = 1, chard_keeps: int = 2 * MIN, without: str = "") -> Plan:
    """A stew of four hours, and two pans that must be fresh together on one ring."""
    steps = {
        "stew": step("braise the oxtail", 4 * HOUR, keeps=HOUR),
        "sauce": step("reduce the sauce", 20 * MIN, uses=[on("hob")]),
        "chard": step("wilt the chard", 6 * MIN, uses=[on("hob")], keeps=chard_keeps),
    }
    dishes = tuple(_dish(name, one) for name, one in steps.items() if name != without)
    return replace(dinner(), dishes=dishes, equipment=(replace(HOB, places=rings),))


def _dish(name: str, *steps: Step) -> Dish:
    own = tuple(replace(one, dish=DishId(name)) for one in steps)
    return Dish(id=DishId(name), name=name, steps=own)


def planned(plan: Plan, serve_s: int = 3 * HOUR) -> Timeline:
    return plan_dinner(plan, now=NOW, serve=NOON + serve_s)


LATE = "dinner would be 1 h late: braise the oxtail takes 4 h and the pass is in 3 h"
PANS = (
    "the hob, which has one ring, is wanted to reduce the sauce and to wilt the chard, "
    "and “reduce the sauce” and “wilt the chard” must both be fresh at 15:00"
)


def test_each_collision_is_told_by_itself_the_pass_first() -> None:
    late, pans = planned(stew_and_pans()).conflicts
    assert late.message == LATE
    assert pans.message == f"after “reduce the sauce” it stands 6 min and keeps 2 min: {PANS}"


def test_what_is_offered_mends_both_and_the_cheapest_comes_first() -> None:
    late, pans = planned(stew_and_pans()).conflicts
    assert late.changes == pans.changes
    assert late.changes[:3] == (
        "the pass at 16:00, 1 h later and “reduce the sauce” keeping for 6 min",
        "the pass at 16:00, 1 h later and “wilt the chard” keeping for 20 min",
        "doing without the stew and “reduce the sauce” keeping for 6 min",
    )
    assert "the pass at 16:00, 1 h later and one more ring on the hob" in late.changes


def test_neither_half_of_a_change_is_enough_and_both_together_are() -> None:
    assert not planned(stew_and_pans(), 4 * HOUR).is_feasible
    assert not planned(stew_and_pans(rings=2)).is_feasible
    assert planned(stew_and_pans(rings=2), 4 * HOUR).is_feasible
    assert planned(stew_and_pans(chard_keeps=20 * MIN), 4 * HOUR).is_feasible
    assert planned(stew_and_pans(without="stew", chard_keeps=20 * MIN)).is_feasible


def test_no_want_is_of_two_collisions_and_each_of_them_cannot_be_had() -> None:
    problem = problem_of_plan(stew_and_pans(), 3 * HOUR, PlanningSettings())
    judge = Judge(5.0)
    found = collisions_of(problem, collision_of(problem, judge), judge)
    wants: list[Want] = [want for collision in found for want in collision]
    assert len(found) == 2
    assert len(set(wants)) == len(wants)


def test_one_collision_alone_is_told_as_before() -> None:
    (conflict,) = planned(stew_and_pans(rings=2)).conflicts
    assert conflict.message == LATE
    assert conflict.changes == ("the pass at 16:00, 1 h later", "doing without the stew")


def test_what_nothing_tried_mends_offers_nothing() -> None:
    """With no effort left nothing can be proved, and nothing is said to help."""
    problem = problem_of_plan(stew_and_pans(), 3 * HOUR, PlanningSettings())
    judge = Judge(5.0)
    collisions = collisions_of(problem, collision_of(problem, judge), judge)
    assert changes_together(problem, collisions, Judge(0.0), NOON) == ()
    assert collisions_of(problem, (), judge) == ()


def test_each_collision_is_told_with_what_suffers_for_it() -> None:
    """The pass is met; an oven is wanted at two temperatures, and one ring by two pans."""
    pie = _dish("pie", step("bake the pie", 50 * MIN, uses=[oven(200)]))
    meringue = _dish("meringue", step("bake the meringue", 50 * MIN, uses=[oven(120)]))
    pans = [_dish(name, step(f"fry the {name}", 10 * MIN, uses=[on("hob")])) for name in ("eggs", "tofu")]
    plan = replace(dinner(places={"oven": 2}), dishes=(pie, meringue, *pans))
    plan = replace(plan, equipment=(*plan.equipment, HOB))
    told = {one.message.partition(" it stands")[0]: one.message for one in planned(plan, 5 * HOUR).conflicts}
    assert told.keys() == {"after “bake the meringue”", "after “fry the tofu”"}
    assert "oven is wanted at 200 to bake the pie and at 120" in told["after “bake the meringue”"]
    assert "hob, which has one ring, is wanted to fry the eggs" in told["after “fry the tofu”"]


def test_even_four_collisions_are_told_and_mended_together() -> None:
    """Two temperatures, one ring, one steamer, and a pass that is too soon for any of it."""
    pie = _dish("pie", step("bake the pie", 30 * MIN, uses=[oven(200)]))
    flan = _dish("flan", step("bake the flan", 30 * MIN, uses=[oven(120)]))
    fried = [_dish(name, step(f"fry the {name}", 10 * MIN, uses=[on("hob")])) for name in ("eggs", "tofu")]
    steamed = [_dish(n, step(f"steam the {n}", 12 * MIN, uses=[on("steamer")])) for n in ("buns", "leeks")]
    plan = dinner(places={"oven": 2, "hob": 1, "steamer": 1})
    conflicts = planned(replace(plan, dishes=(pie, flan, *fried, *steamed)), 20 * MIN).conflicts
    assert len(conflicts) == 4
    assert conflicts[0].message.startswith("dinner would be ")
    assert all(one.changes == conflicts[0].changes for one in conflicts)
    assert conflicts[0].changes[0].startswith("the pass at ")
    assert conflicts[0].changes[0].count(" and ") == 3
