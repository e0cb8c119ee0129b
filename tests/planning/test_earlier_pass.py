"""A dinner of two passes half way: what was served late does not make late what is to come."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import Instant, Now
from kitchend.core.dinner import begin
from kitchend.core.plan import Dish, DishId, Plan, Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepRecord, StepState
from kitchend.planning import plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, step

BEFORE_S = HOUR


def of(dish: str, one: Step) -> Dish:
    own = replace(one, dish=DishId(dish), id=StepId(f"{dish}/{one.id}"))
    return Dish(id=DishId(dish), name=dish, steps=(own,))


SOUP = replace(
    of("soup", step("simmer the soup", 20 * MIN, hands=MIN, keeps=5 * MIN)), before_pass_s=BEFORE_S
)
RICE = of("rice", step("boil the rice", 20 * MIN, hands=MIN, keeps=5 * MIN))
PLAN = Plan(name="two passes", dishes=(SOUP, RICE))
SERVE = NOON + 2 * HOUR


def soup_done(minute: float, *called: int) -> tuple[DinnerState, Now]:
    """The soup done so many minutes past noon, and the present a minute later."""
    now = NOW.after((minute + 1) * MIN)
    on = Instant(NOW.instant.s + (minute - 20) * MIN)
    done = StepRecord(state=StepState.DONE, called_at=on, on_at=on, ended_at=on + 20 * MIN)
    timeline = plan_dinner(PLAN, now=NOW, serve=SERVE)
    state = replace(begin(), plan=PLAN, serve=SERVE, timeline=timeline, passes_called=called)
    return replace(state, records={SOUP.steps[0].id: done}), now


def test_each_dish_is_planned_for_its_own_pass() -> None:
    timeline = plan_dinner(PLAN, now=NOW, serve=SERVE)
    soup, rice = timeline.of(SOUP.steps[0].id), timeline.of(RICE.steps[0].id)
    assert soup is not None
    assert rice is not None
    assert timeline.is_feasible
    assert 0 <= SERVE - BEFORE_S - soup.end <= 5 * MIN
    assert 0 <= SERVE - rice.end <= 5 * MIN


@pytest.mark.parametrize("minute", [55, 60, 75], ids=["early", "at its pass", "late"])
def test_what_was_served_moves_nothing_that_is_to_come(minute: float) -> None:
    state, now = soup_done(minute, BEFORE_S)
    timeline = plan_rest(state, now=now)
    rice = timeline.of(RICE.steps[0].id)
    assert rice is not None
    assert (timeline.late_by_s, timeline.conflicts) == (0, ())
    assert 0 <= SERVE - rice.end <= 5 * MIN
