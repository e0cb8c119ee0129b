"""A thermometer's readings: what the name it goes by means as the dinner moves on, and what it never does."""

from __future__ import annotations

import pytest

from kitchend.core.dinner import begin
from kitchend.core.events import ReadingTaken
from kitchend.core.measured import Unwanted, measured
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from tests.core.evening import REST, ROAST, Evening
from tests.core.lighthouse import BUSY, having


def roasting() -> Evening:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    return evening


def kept(state: DinnerState) -> list[tuple[str, float]]:
    return [(reading.of, reading.celsius) for reading in state.readings]


@pytest.mark.parametrize("name", [str(ROAST.id), "chicken", "the chicken", "The Bird", "roast the chicken"])
def test_a_reading_by_any_name_is_kept_for_the_step_that_ends_by_reading(name: str) -> None:
    evening = roasting()
    evening.feed(ReadingTaken(of=name, celsius=41.5))
    assert kept(evening.state) == [(str(ROAST.id), 41.5)]
    assert evening.state.readings[0].at == evening.now.instant


@pytest.mark.parametrize("name", ["oven", "the oven"])
def test_equipment_is_measured_whether_it_is_used_or_not(name: str) -> None:
    evening = Evening()
    evening.feed(ReadingTaken(of=name, celsius=190.0))
    assert kept(evening.state) == [("oven", 190.0)]


def test_nothing_is_said_about_a_reading() -> None:
    evening = roasting()
    before = list(evening.said)
    evening.feed(ReadingTaken(of="chicken", celsius=41.5))
    assert evening.said == before


@pytest.mark.parametrize(
    ("name", "why"),
    [("pokr", Unwanted.UNKNOWN), ("", Unwanted.UNKNOWN), ("greens", Unwanted.NOT_ON)],
)
def test_a_reading_of_nothing_that_goes_on_changes_nothing(name: str, why: Unwanted) -> None:
    evening = roasting()
    readings = evening.state.readings
    assert measured(evening.state, name) is why
    evening.feed(ReadingTaken(of=name, celsius=41.5))
    assert evening.state.readings is readings


def test_with_no_dinner_on_no_reading_is_wanted() -> None:
    assert measured(begin(), "oven") is Unwanted.NO_DINNER


def test_a_name_follows_the_dish_from_the_heat_to_the_board() -> None:
    evening = roasting()
    assert measured(evening.state, "chicken") == ROAST.id
    evening.at_minute(30)
    evening.hear("chicken is at seventy four")
    assert evening.state.state_of(ROAST.id) is StepState.UP
    assert measured(evening.state, "chicken") == ROAST.id
    evening.hear("roast the chicken is done")
    evening.hear("rest the chicken")
    assert evening.state.state_of(REST.id) is StepState.ON
    assert measured(evening.state, "chicken") == REST.id


def test_two_that_go_on_by_one_name_are_not_guessed_between() -> None:
    state = having(BUSY, rest=StepState.ON, bake=StepState.DONE, slice=StepState.ON)
    assert measured(state, "fish") is Unwanted.SEVERAL
