"""A plan's lookups and the rules that a plan must keep: references, counts, hands, reminders, cycles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use, repeats_of
from kitchend.core.plan_faults import Fault, problems_of
from kitchend.core.quantities import DurationRange, Temperature

HOB = Equipment(id=EquipmentId("hob"), name="hob", places=4)


def _step(name: str, *, after: tuple[str, ...] = (), hands_s: int = 60, low_s: int = 600) -> Step:
    return Step(
        id=StepId(name),
        dish=DishId("rice"),
        name=f"{name} the rice",
        hands_s=hands_s,
        takes=DurationRange(low_s=low_s, high_s=low_s + 300),
        after=tuple(StepId(other) for other in after),
    )


def _plan(*steps: Step) -> Plan:
    return Plan(name="test", equipment=(HOB,), dishes=(Dish(id=DishId("rice"), name="rice", steps=steps),))


def _said(plan: Plan) -> list[tuple[str | None, str, str]]:
    return [(fault.step, fault.field, fault.message) for fault in problems_of(plan)]


def test_a_plan_finds_its_parts_by_id() -> None:
    plan = _plan(_step("rinse"), _step("boil"))
    assert plan.step(StepId("boil")).name == "boil the rice"
    assert plan.dish(DishId("rice")).steps == plan.steps
    assert plan.equipment_of(EquipmentId("hob")) is HOB


def test_a_plan_refuses_ids_it_does_not_have() -> None:
    plan = _plan(_step("rinse"))
    with pytest.raises(KeyError):
        plan.step(StepId("boil"))
    with pytest.raises(KeyError):
        plan.dish(DishId("beans"))
    with pytest.raises(KeyError):
        plan.equipment_of(EquipmentId("oven"))


@pytest.mark.parametrize(
    ("hands_s", "takes_s", "until", "is_hands_only"),
    [
        (60, 60, None, True),
        (60, 61, None, False),
        (60, 60, Temperature(degrees=74.0), False),
    ],
    ids=["all hands", "looks after itself", "ends by a reading"],
)
def test_hands_only_means_no_clock_to_run_out(
    hands_s: int, takes_s: int, until: Temperature | None, is_hands_only: bool
) -> None:
    step = replace(
        _step("boil"), hands_s=hands_s, takes=DurationRange(low_s=takes_s, high_s=takes_s), until=until
    )
    assert step.is_hands_only is is_hands_only


def test_repeats_of_a_reminder_are_found_from_any_of_them() -> None:
    boil = _step("boil")
    stirs = [
        replace(_step(f"stir#{number}"), during=boil.id, every_s=120, at_s=120 * number)
        for number in (1, 2, 3)
    ]
    plan = _plan(boil, *stirs, _step("drain"))
    assert [step.id for step in repeats_of(plan, StepId("stir#2"))] == ["stir#1", "stir#2", "stir#3"]
    assert repeats_of(plan, boil.id) == (boil,)


def test_a_plan_that_holds_has_no_problems() -> None:
    stir = replace(_step("stir"), during=StepId("boil"), at_s=300)
    assert problems_of(_plan(_step("rinse"), _step("boil", after=("rinse",)), stir)) == ()


CIRCLE = "these steps wait for each other"
TWO_RINGS = (Use(equipment=HOB.id), Use(equipment=HOB.id))

BROKEN: Mapping[str, tuple[Plan, tuple[str | None, str, str]]] = {
    "unknown step": (
        _plan(_step("boil", after=("rinse",))),
        ("boil", "after", "there is no step rinse"),
    ),
    "unknown host": (
        _plan(replace(_step("stir"), during=StepId("boil"), at_s=60)),
        ("stir", "during", "there is no step boil"),
    ),
    "unknown equipment": (
        _plan(replace(_step("boil"), uses=(Use(equipment=EquipmentId("wok")),))),
        ("boil", "uses", "there is no equipment wok"),
    ),
    "more places than there are": (
        _plan(replace(_step("boil"), uses=(Use(equipment=HOB.id, places=5),))),
        ("boil", "uses", "needs 5 places but the hob has 4"),
    ),
    "equipment named twice": (
        _plan(replace(_step("boil"), uses=TWO_RINGS)),
        ("boil", "uses", "uses the hob twice"),
    ),
    "more hands than time": (
        _plan(_step("boil", hands_s=720, low_s=600)),
        ("boil", "hands", "needs hands for 12 min but may take only 10 min"),
    ),
    "two steps of one id": (_plan(_step("boil"), _step("boil")), (None, "steps", "boil is there twice")),
    "reminder after the end": (
        _plan(_step("boil"), replace(_step("stir"), during=StepId("boil"), at_s=900)),
        ("stir", "at", "comes after boil the rice is over, which takes 15 min at most"),
    ),
    "reminder in a reminder": (
        _plan(
            _step("boil"),
            replace(_step("stir"), during=StepId("boil"), at_s=60),
            replace(_step("taste"), during=StepId("stir"), at_s=60),
        ),
        ("taste", "during", "stir the rice is itself during another step"),
    ),
    "reminder while hands are busy": (
        _plan(
            replace(_step("wash"), hands_s=900, takes=DurationRange(low_s=900, high_s=900)),
            replace(_step("stir"), during=StepId("wash"), at_s=60),
        ),
        ("stir", "during", "wash the rice keeps the hands busy to its end, so nothing can be done during it"),
    ),
    "step after itself": (
        _plan(_step("boil", after=("boil",))),
        ("boil", "after", f"{CIRCLE}: boil the rice waits for itself"),
    ),
    "two in a circle": (
        _plan(_step("boil", after=("drain",)), _step("drain", after=("boil",))),
        (
            "boil",
            "after",
            f"{CIRCLE}: boil the rice waits for drain the rice, and drain the rice waits for boil the rice",
        ),
    ),
    "a step after its own reminder": (
        _plan(_step("boil", after=("stir",)), replace(_step("stir"), during=StepId("boil"), at_s=60)),
        (
            "boil",
            "after",
            f"{CIRCLE}: boil the rice waits for stir the rice, and stir the rice waits for boil the rice",
        ),
    ),
}


@pytest.mark.parametrize(("plan", "fault"), BROKEN.values(), ids=BROKEN)
def test_a_broken_rule_names_step_field_and_reason(plan: Plan, fault: tuple[str | None, str, str]) -> None:
    assert _said(plan) == [fault]


def test_circles_that_share_no_step_are_all_named() -> None:
    plan = _plan(
        _step("a", after=("b",)),
        _step("b", after=("a",)),
        _step("c", after=("d", "a")),
        _step("d", after=("c",)),
        _step("e", after=("d",)),
    )
    assert [fault.step for fault in problems_of(plan)] == ["a", "c"]


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=25))
def test_a_circle_is_named_exactly_when_networkx_finds_one(edges: list[tuple[int, int]]) -> None:
    plan = _plan(*(_step(f"s{k}", after=tuple(f"s{b}" for a, b in edges if a == k)) for k in range(10)))
    circles: list[Fault] = [fault for fault in problems_of(plan) if CIRCLE in fault.message]
    graph = networkx.DiGraph(edges)
    assert bool(circles) != networkx.is_directed_acyclic_graph(graph)
