"""Plans that share a kitchen: their equipment, hands, dishes and passes become one plan's, or are refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import DAY_S, TimeOfDay
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.plan_faults import problems_of
from kitchend.core.quantities import DurationRange
from kitchend.errors import PlanError
from kitchend.files.merging import Merged, Part, distances, merge_plans
from kitchend.files.plan_yaml import MOST_STEPS

HALF_SEVEN = TimeOfDay(18, 30)
OVEN, HOB = EquipmentId("oven"), EquipmentId("hob")


def a_step(dish: str, name: str, *uses: Use) -> Step:
    takes = DurationRange(low_s=600, high_s=600)
    step_id = StepId(f"{dish}/{name.replace(' ', '-')}")
    return Step(id=step_id, dish=DishId(dish), name=name, takes=takes, uses=uses)


def a_dish(name: str, *steps: Step, also: tuple[str, ...] = ()) -> Dish:
    return Dish(id=DishId(name), name=name, also=also, steps=steps or (a_step(name, f"cook the {name}"),))


def oven(places: int, preheat_s: int | None = None) -> Equipment:
    return Equipment(id=OVEN, name="oven", places=places, preheat_s=preheat_s)


TART = Plan(name="Tart", people=4, equipment=(oven(3),), dishes=(a_dish("tart"),))
SOUP = Plan(
    name="Soup",
    people=4,
    cooks=2,
    cook_names=("Mira", "Jonas"),
    chance=0.75,
    equipment=(oven(2, 900), Equipment(id=HOB, name="hob", places=4)),
    dishes=(a_dish("soup"), a_dish("bread")),
)


def merged(*plans: Plan, before: tuple[int, ...] | None = None) -> Merged:
    befores = before or (0,) * len(plans)
    parts = [
        Part(file=f"{plan.name.lower()}.yaml", plan=plan, before_s=before_s)
        for plan, before_s in zip(plans, befores, strict=True)
    ]
    return merge_plans(parts, HALF_SEVEN)


def refusals(*plans: Plan) -> list[str]:
    with pytest.raises(PlanError) as caught:
        merged(*plans)
    return [str(problem) for problem in caught.value.problems]


def test_one_plan_stays_as_it_is() -> None:
    assert merged(TART) == Merged(plan=TART)


def test_dishes_of_all_plans_stand_in_one_with_the_distance_of_their_pass() -> None:
    plan = merged(TART, SOUP, before=(1800, 0)).plan
    assert (plan.name, plan.serve, plan.people) == ("Tart and Soup", HALF_SEVEN, 4)
    assert [(dish.name, dish.before_pass_s) for dish in plan.dishes] == [
        ("tart", 1800),
        ("soup", 0),
        ("bread", 0),
    ]
    assert problems_of(plan) == ()


def test_three_plans_are_listed_in_the_name() -> None:
    third = replace(TART, name="Cake", dishes=(a_dish("cake"),))
    assert merged(TART, SOUP, third).plan.name == "Tart, Soup and Cake"


def test_of_shared_equipment_the_smaller_count_is_taken_and_told() -> None:
    found = merged(TART, SOUP)
    assert found.plan.equipment == (oven(2, 900), SOUP.equipment[1])
    assert found.notes == ("places of the oven differ (3 in tart.yaml, 2 in soup.yaml): planned with 2",)


def test_equal_counts_are_not_worth_a_word() -> None:
    assert merged(TART, replace(SOUP, equipment=(oven(3),))).notes == ()


def test_hands_are_those_of_the_plan_with_most_and_the_surer_chance_is_kept() -> None:
    plan = merged(TART, SOUP).plan
    assert (plan.cooks, plan.cook_names, plan.chance) == (2, ("Mira", "Jonas"), 0.75)
    assert merged(replace(TART, chance=0.9), SOUP).plan.chance == 0.9
    assert merged(replace(TART, cooks=2), SOUP).plan.cook_names == ("Mira", "Jonas")
    assert merged(replace(TART, cooks=3), SOUP).plan.cook_names == ()


def test_people_are_kept_only_where_plans_agree() -> None:
    assert merged(TART, replace(SOUP, people=6)).plan.people is None


@pytest.mark.parametrize(
    ("other", "line"),
    [
        (a_dish("tart"), "tart is a dish"),
        (a_dish("TART"), "TART is a dish"),
        (a_dish("tàrt"), "tàrt is a dish"),
        (a_dish("pie", also=("tart",)), "tart is a dish"),
    ],
    ids=["same", "capitals", "accent", "other name"],
)
def test_dishes_that_sound_alike_are_refused_in_one_line(other: Dish, line: str) -> None:
    assert refusals(TART, replace(SOUP, dishes=(*SOUP.dishes, other))) == [
        (
            f"soup.yaml: {line} of tart.yaml too, so saying it would not be clear "
            "(give them other names in one of the plans)"
        )
    ]


def test_all_equal_dishes_of_a_file_come_in_one_line() -> None:
    first = replace(TART, dishes=(a_dish("soup"), a_dish("bread")))
    assert refusals(first, SOUP) == [
        (
            "soup.yaml: soup and bread are dishes of tart.yaml too, so saying it would not be clear "
            "(give them other names in one of the plans)"
        )
    ]


def test_what_only_fits_the_larger_count_is_refused_with_its_file() -> None:
    bake = a_step("tart", "bake the tart", Use(equipment=OVEN, places=3))
    assert refusals(replace(TART, dishes=(a_dish("tart", bake),)), SOUP) == [
        "tart.yaml: bake the tart: needs 3 places but the oven has 2 (count it alike in all of them)"
    ]


def test_more_steps_than_one_dinner_holds_are_refused() -> None:
    many = tuple(a_step("tart", f"fold {'x' * at}") for at in range(MOST_STEPS))
    (line,) = refusals(replace(TART, dishes=(a_dish("tart", *many),)), SOUP)
    assert line.startswith(f"tart.yaml: together these plans have {MOST_STEPS + 2} steps")


def test_steps_of_one_name_are_told() -> None:
    soup = replace(SOUP, equipment=(), dishes=(a_dish("soup", a_step("soup", "chop the onions")),))
    tart = replace(TART, dishes=(a_dish("tart", a_step("tart", "Chop the onions")),))
    assert merged(tart, soup).notes == (
        "more than one plan has a step called chop the onions: say its dish with it",
    )


def time(text: str) -> TimeOfDay:
    hour, minute = text.split(":")
    return TimeOfDay(int(hour), int(minute))


@pytest.mark.parametrize(
    ("given", "last", "before"),
    [
        (["19:30"], "19:30", (0,)),
        (["18:00", "19:30"], "19:30", (5400, 0)),
        (["19:30", "18:00"], "19:30", (0, 5400)),
        (["23:30", "00:30"], "00:30", (3600, 0)),
        (["00:30", "22:00", "23:30"], "00:30", (0, 9000, 3600)),
        (["18:00", "18:00"], "18:00", (0, 0)),
        (["18:00", None], "18:00", (0, 0)),
        ([None, None], None, (0, 0)),
    ],
)
def test_passes_of_one_evening_keep_their_distance(
    given: list[str | None], last: str | None, before: tuple[int, ...]
) -> None:
    found = distances([time(text) if text else None for text in given])
    assert found == (time(last) if last else None, before)


TIMES = st.builds(TimeOfDay, st.integers(0, 23), st.integers(0, 59))


@given(st.lists(TIMES, min_size=1, max_size=5))
def test_every_pass_is_its_distance_before_the_last(times: list[TimeOfDay]) -> None:
    last, before = distances(times)
    assert last is not None
    assert min(before) == 0
    for one, before_s in zip(times, before, strict=True):
        apart = (last.hour - one.hour) * 3600 + (last.minute - one.minute) * 60
        assert apart % DAY_S == before_s
