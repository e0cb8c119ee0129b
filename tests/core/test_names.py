"""Spoken names and what they may mean."""

from dataclasses import replace

import pytest

from kitchend.core.names import Meaning, meaning, names_of, scale_of, short_name, spoken, spoken_names
from kitchend.core.plan import Dish, DishId, EquipmentId, Plan, StepId
from kitchend.core.quantities import Scale
from kitchend.core.state import DinnerState
from kitchend.core.timers import TimerId
from tests.core.lighthouse import BUSY, FAHRENHEIT_PLAN, NO_DINNER, PLAN, STATES, a_step

ALL_SALMON = ("season", "bake", "glaze#1", "glaze#2", "rest", "slice")


def ids(*names: str) -> tuple[StepId, ...]:
    return tuple(map(StepId, names))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("4-cheese pie", "four cheese pie"),
        ("Steam the Greens!", "steam the greens"),
        ("Crème brûlée", "creme brulee"),
        ("Shepherd’s pie", "shepherd's pie"),
        ("Salt & pepper", "salt and pepper"),
        ("450 rolls", "four hundred and fifty rolls"),
        ("2024 wine", "two zero two four wine"),
        ("  odd\n\tspaces ", "odd spaces"),
        ("김치", ""),
        ("'quoted'", "quoted"),
    ],
)
def test_text_becomes_spoken_words(text: str, words: str) -> None:
    assert spoken(text) == words


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("steam the leeks", Meaning(steps=ids("steam"))),
        ("steam leeks", Meaning(steps=ids("steam"))),
        ("Steam the Leeks", Meaning(steps=ids("steam"))),
        ("glaze the salmon", Meaning(steps=ids("glaze#1", "glaze#2"))),
        ("leeks", Meaning(steps=ids("trim", "steam"), dish=DishId("leeks"))),
        ("the leeks", Meaning(steps=ids("trim", "steam"), dish=DishId("leeks"))),
        ("baked salmon", Meaning(steps=ids(*ALL_SALMON), dish=DishId("salmon"))),
        ("salmon", Meaning(steps=ids(*ALL_SALMON), dish=DishId("salmon"))),
        ("fish", Meaning(steps=ids(*ALL_SALMON), dish=DishId("salmon"))),
        ("slicing", Meaning(steps=ids("slice"))),
        ("four grain pilaf", Meaning(steps=ids("rinse", "simmer"), dish=DishId("pilaf"))),
        ("grain", Meaning(steps=ids("rinse"))),
        ("oven", Meaning(equipment=EquipmentId("oven"))),
        ("eggs", Meaning(timer=TimerId("eggs"))),
        ("moon", Meaning()),
        ("", Meaning()),
    ],
)
def test_name_means_what_the_plan_says(name: str, meant: Meaning) -> None:
    assert meaning(name, BUSY) == meant


def test_one_word_can_mean_a_step_and_its_equipment() -> None:
    heat = a_step("", "heat", "heat the oven", added=True)
    state = replace(BUSY, added=(heat,))
    assert meaning("oven", state) == Meaning(steps=ids("heat"), equipment=EquipmentId("oven"))


def test_last_word_of_two_dishes_names_neither_of_them_alone() -> None:
    dishes = tuple(
        Dish(id=DishId(kind), name=f"{kind} soup", steps=(a_step(kind, f"warm-{kind}", "warm the soup"),))
        for kind in ("leek", "onion")
    )
    state = replace(NO_DINNER, plan=Plan(name="Soups", dishes=dishes))
    assert meaning("soup", state) == Meaning(steps=ids("warm-leek", "warm-onion"))
    assert meaning("onion soup", state) == Meaning(steps=ids("warm-onion"), dish=DishId("onion"))


def test_spoken_names_hold_every_name_with_and_without_articles() -> None:
    names = spoken_names(BUSY)
    assert {"steam the leeks", "steam leeks", "salmon", "fish", "oven", "eggs", "slicing"} <= set(names)
    assert all(meant == meaning(name, BUSY) != Meaning() for name, meant in names.items())


@pytest.mark.parametrize("state", STATES.values(), ids=STATES)
def test_every_step_has_a_name_that_means_it(state: DinnerState) -> None:
    meant = {step for found in spoken_names(state).values() for step in found.steps}
    assert meant == {step.id for step in state.steps}


def test_actions_know_what_was_done_to_what() -> None:
    actions = names_of(BUSY).actions
    trimmed, taken = actions["wash and trim the leeks"], actions["take the flatbreads out"]
    assert (trimmed.thing, trimmed.done) == ("leeks", ("washed and trimmed", "washed", "trimmed"))
    assert trimmed.doing == ("washing and trimming",)
    assert (taken.thing, taken.done, taken.doing) == ("flatbreads", ("taken out",), ("taking out",))
    assert (actions["simmer it"].thing, actions["simmer it"].done) == ("", ())


@pytest.mark.parametrize(
    ("step", "name"),
    [
        ("steam", "leeks"),
        ("bake", "salmon"),
        ("rinse", "grain"),
        ("simmer", "four grain pilaf"),
        ("put", "flatbreads"),
    ],
)
def test_short_name_says_the_thing(step: str, name: str) -> None:
    assert short_name(PLAN.step(StepId(step)), PLAN) == name


def test_short_name_of_a_step_of_no_dish_is_its_own_name() -> None:
    assert short_name(a_step("", "preheat", "preheat"), PLAN) == "preheat"


def test_names_that_cannot_be_said_are_left_out() -> None:
    dish = Dish(id=DishId("kimchi"), name="김치", steps=(a_step("kimchi", "chop", "김치"),))
    assert spoken_names(replace(NO_DINNER, plan=Plan(name="x", dishes=(dish,)))) == {}


def test_names_are_made_once_for_a_dinner() -> None:
    assert names_of(BUSY) is names_of(replace(BUSY, last_words="Leeks on."))


@pytest.mark.parametrize(
    ("plan", "scale"), [(PLAN, Scale.CELSIUS), (FAHRENHEIT_PLAN, Scale.FAHRENHEIT), (None, Scale.CELSIUS)]
)
def test_scale_is_that_of_the_plan(plan: Plan | None, scale: Scale) -> None:
    assert scale_of(plan) is scale
