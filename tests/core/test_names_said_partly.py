"""Names said partly: "nuts" for the pine nuts; never where that could be something else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.commands import Command, Hold, Said, StepSaid
from kitchend.core.intents import understand
from kitchend.core.names import meaning
from kitchend.core.phrases import sayable
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from tests.core.lighthouse import MANNERS, NO_DINNER, NOW, a_step, having

PLAN = Plan(
    name="Mill supper",
    equipment=(Equipment(id=EquipmentId("oven"), name="bread oven"),),
    dishes=(
        Dish(
            id=DishId("tart"),
            name="wild mushroom tart",
            steps=(
                a_step("tart", "nuts", "toast the pine nuts", hands_s=60),
                a_step("tart", "bake", "bake it", "nuts"),
            ),
        ),
        Dish(
            id=DishId("leek"),
            name="soup of leek and potato",
            steps=(a_step("leek", "leek", "warm the leek soup"),),
        ),
        Dish(id=DishId("bean"), name="beans", steps=(a_step("bean", "bean", "warm the white bean soup"),)),
        Dish(id=DishId("oven"), name="crust", steps=(a_step("oven", "char", "char in the bread oven"),)),
    ),
)
COOKING = replace(NO_DINNER, plan=PLAN, manners=replace(MANNERS, is_open=True))
BEGUN = having(COOKING, nuts=StepState.CALLED, bake=StepState.ON)


@pytest.mark.parametrize(
    ("name", "steps"),
    [
        ("pine nuts", {"nuts"}),
        ("nuts", {"nuts"}),
        ("the nuts", {"nuts"}),
        ("mushroom tart", {"nuts", "bake"}),
        ("tart", {"nuts", "bake"}),
        ("bean soup", {"bean"}),
        ("soup", set()),
        ("potato", set()),
        ("oven", set()),
    ],
)
def test_the_end_of_a_name_means_it_where_nothing_else_ends_so(name: str, steps: set[str]) -> None:
    assert set(meaning(name, BEGUN).steps) == set(map(StepId, steps))


TOAST = "toast the pine nuts"


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("toast the nuts", StepSaid(name=TOAST)),
        ("nuts toasted", StepSaid(name=TOAST, how=Said.DONE)),
        ("the nuts are toasted", StepSaid(name=TOAST, how=Said.DONE)),
        ("i've toasted the nuts", StepSaid(name=TOAST, how=Said.DONE)),
        ("toasting the nuts", StepSaid(name=TOAST, how=Said.ON)),
        ("nuts are done", StepSaid(name="nuts", how=Said.DONE)),
        ("hold the tart", Hold(name="tart")),
    ],
)
def test_a_step_is_said_with_the_end_of_its_thing(text: str, command: Command) -> None:
    assert understand(text, BEGUN).command == command
    assert sayable(BEGUN, NOW).accepts(text)


def test_two_things_that_end_alike_are_not_named_by_that_end() -> None:
    states: DinnerState = having(COOKING, leek=StepState.CALLED, bean=StepState.CALLED)
    assert not sayable(states, NOW).accepts("warm the soup")
    assert sayable(states, NOW).accepts("warm the leek soup")
