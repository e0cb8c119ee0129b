"""A forecast in place of the plan's range: the sides move with it, and the chance is its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import moves
from kitchend.core.events import ForecastMade
from kitchend.core.forecasting import made
from kitchend.core.forecasts import Forecast, Outlook
from kitchend.core.plan import StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.planning import plan_dinner, plan_rest
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, oven, step

ROAST, FRY = StepId("roast"), StepId("fry")
PLAN = dinner(
    step("roast", (90 * MIN, 130 * MIN), hands=2 * MIN, uses=[oven(180)], until=70, keeps=30 * MIN),
    step("fry", 15 * MIN, hands=2 * MIN, uses=[on("hob")], after=["roast"], keeps=2 * MIN),
)
SERVE = NOON + 3 * HOUR
LATER = NOW.after(80 * MIN)


def begun() -> DinnerState:
    timeline = plan_dinner(PLAN, now=NOW, serve=SERVE)
    state = DinnerState(plan=PLAN, serve=SERVE, timeline=timeline)
    started = moves.start(state, PLAN.steps[0], NOW)
    assert started is not None
    return started


def forecasted(low: float, middle: float, high: float) -> DinnerState:
    """The dinner with a forecast of so many minutes from its beginning."""
    first, likely, last = (NOW.after(minute * MIN).instant for minute in (low, middle, high))
    known = Forecast(
        step=ROAST, outlook=Outlook.RISING, at=LATER.instant, low=first, middle=likely, high=last
    )
    return made(begun(), ForecastMade(forecast=known), LATER).state


def rest(state: DinnerState) -> Timeline:
    return plan_rest(state, now=LATER)


def end_of_roast(timeline: Timeline) -> float:
    planned = timeline.of(ROAST)
    assert planned is not None
    return (planned.end - NOW.wall) / MIN


@pytest.mark.parametrize(("low", "middle", "high"), [(98, 102, 106), (120, 130, 140), (150, 160, 170)])
def test_the_centrepiece_is_planned_within_its_forecast(low: float, middle: float, high: float) -> None:
    assert low <= end_of_roast(rest(forecasted(low, middle, high))) <= high + 6


def test_the_sides_come_after_the_forecast_end() -> None:
    late = rest(forecasted(170, 175, 180))
    fry = late.of(FRY)
    assert fry is not None
    assert (fry.start - NOW.wall) / MIN >= end_of_roast(late)
    assert late.late_by_s > 10 * MIN


def test_a_surer_forecast_makes_a_surer_pass() -> None:
    vague, sure = rest(forecasted(130, 150, 170)), rest(forecasted(149, 150, 151))
    assert vague.on_time_probability is not None
    assert sure.on_time_probability is not None
    assert vague.on_time_probability < 0.99 <= sure.on_time_probability


def test_the_margin_the_dinner_was_begun_with_is_carried_on() -> None:
    state = forecasted(98, 102, 106)
    assert state.timeline is not None
    first = rest(state)
    again = plan_rest(replace(state, timeline=first), now=LATER)
    assert first.margin_s == pytest.approx(state.timeline.margin_s, abs=15)
    assert again.margin_s == first.margin_s
    assert again.of(ROAST) == first.of(ROAST)


def test_what_only_the_doubt_of_a_forecast_makes_late_is_not_late_yet() -> None:
    """The middle is in time and the long end is not: the pass stays, and the chance says how sure it is."""
    doubtful = rest(forecasted(130, 155, 190))
    assert doubtful.late_by_s == 0
    assert doubtful.on_time_probability is not None
    assert doubtful.on_time_probability < 0.95


def test_a_late_middle_is_late_by_the_middle() -> None:
    late = rest(forecasted(160, 190, 230))
    # 190 minutes and a quarter of an hour to fry are 25 over the three hours; words take a little too.
    assert 24 * MIN <= late.late_by_s <= 29 * MIN
