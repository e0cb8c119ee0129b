"""The forecast in the dinner: when it is asked for, when it is said, what follows it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.events import ForecastMade, Resumed
from kitchend.core.forecasting import LEAST_READINGS, PATIENCE_S, take_off_c, takes_by_forecast
from kitchend.core.forecasts import Forecast, Outlook
from kitchend.core.plan import StepId
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.core.status import CoreRead, status_of
from kitchend.core.steps import StepState
from kitchend.core.timers import timer_of_step
from tests.core.evening import START, STEAM
from tests.core.roasting import LONG_ROAST, Roasting

FIRST = "Chicken at eleven. I expect seventy four at seven forty, give or take ten minutes."


def left_min(evening: Roasting) -> tuple[float, float]:
    """The timer of the roast as minutes after six, both ends."""
    timer = timer_of_step(evening.state.timers, LONG_ROAST.id)
    assert timer is not None
    assert timer.due is not None
    due = (timer.due - START.instant) / 60
    return due, due + timer.spread_s / 60


def told(evening: Roasting, *readings: tuple[float, int]) -> list[str]:
    said: list[str] = []
    names = {10: "ten", 20: "twenty", 30: "thirty", 40: "forty", 62: "sixty two", 68: "sixty eight"}
    for minute, degrees in readings:
        evening.at_minute(minute)
        said = evening.hear(f"the chicken is at {names[degrees]}")
    return said


def test_a_reading_that_was_told_is_answered_with_the_forecast() -> None:
    evening = Roasting()
    evening.expect(94, 100, 106)
    said = told(evening, (30, 20), (45, 40), (60, 62))
    assert said == ["Sixty two now. I expect seventy four at seven forty, give or take six minutes."]
    assert evening.asked == [60]


def test_two_readings_decide_nothing_and_none_is_promised() -> None:
    evening = Roasting()
    assert told(evening, (30, 20)) == ["Twenty: fifty four degrees to go. Too soon to say when."]
    assert told(evening, (45, 30)) == ["Thirty: forty four degrees to go. Too soon to say when."]
    assert evening.asked == []


@pytest.mark.parametrize("outlook", [Outlook.CANNOT_TELL, Outlook.REACHED])
def test_a_forecast_that_names_no_moment_is_said_to_be_too_soon(outlook: Outlook) -> None:
    evening = Roasting()
    evening.expect_no_moment(outlook)
    assert told(evening, (10, 10), (15, 10), (20, 20)) == [
        "Twenty: fifty four degrees to go. Too soon to say when."
    ]


def test_an_answer_does_not_wait_long_for_its_forecast() -> None:
    evening = Roasting()
    assert told(evening, (30, 20), (45, 30), (60, 40)) == []
    assert evening.at_minute(60 + (PATIENCE_S + 1) / 60) == [
        "Forty: thirty four degrees to go. Too soon to say when."
    ]
    assert evening.state.owed == ()


def test_a_second_reading_takes_the_place_of_the_first_that_waits() -> None:
    evening = Roasting()
    told(evening, (30, 20), (45, 30), (60, 40))
    evening.expect(94, 100, 106)
    said = told(evening, (60.05, 40))
    assert said == ["Forty now. I expect seventy four at seven forty, give or take six minutes."]


def test_after_a_restart_nothing_is_owed() -> None:
    evening = Roasting()
    told(evening, (30, 20), (45, 30), (60, 40))
    evening.feed(Resumed(away_s=20.0))
    assert evening.state.owed == ()


def test_the_first_forecast_of_a_probe_is_told_once() -> None:
    evening = Roasting()
    evening.expect(90, 100, 110)
    evening.expect(90, 101, 112)
    assert evening.rise(10, 12) == [FIRST]
    assert evening.rise(13, 22, 11.5) == []
    assert evening.asked == [12.0, 17.0, 22.0]


def test_the_nearer_the_end_the_more_often_a_probe_is_made_a_forecast_of() -> None:
    evening = Roasting()
    evening.expect(23, 24, 26)
    evening.rise(10, 14, 60.0, 0.1)
    assert evening.asked == [12.0, 13.0, 14.0]


def test_the_timer_follows_the_forecast_and_nobody_is_asked_what_was_just_read() -> None:
    evening = Roasting()
    evening.expect(94, 100, 106)
    told(evening, (30, 20), (45, 40), (60, 62))
    assert left_min(evening) == (94.0, 106.0)
    assert evening.at_minute(93) == []
    assert evening.at_minute(94.1) == ["Check the chicken. What does it read?"]
    evening.probe(99.5, 70)
    assert "Check the chicken. What does it read?" not in evening.at_minute(104)


def test_a_moment_near_at_hand_is_not_asked_about_at_once() -> None:
    evening = Roasting()
    evening.expect(60.5, 62, 64)
    told(evening, (30, 20), (45, 40), (60, 62))
    assert left_min(evening) == (63.0, 64.0)


def test_how_long_is_answered_by_the_forecast() -> None:
    evening = Roasting()
    evening.expect(94, 100, 106)
    told(evening, (30, 20), (45, 40), (60, 62))
    evening.at_minute(70)
    assert evening.hear("how long on the chicken") == [
        "Chicken: thirty minutes. I expect seventy four at seven forty, give or take six minutes."
    ]


def test_a_plateau_is_said_once_with_what_helps_and_no_moment() -> None:
    evening = Roasting()
    for _ in range(3):
        evening.expect_no_moment(Outlook.PLATEAU)
    said = evening.rise(30, 32, 66.0, 0.1)
    assert " ".join(said) == (
        "Chicken at sixty six and staying there, as large cuts do. Wrapping it tight, or more heat, usually "
        "helps. I name no time until it rises again."
    )
    assert evening.rise(33, 38, 66.0, 0.0) == []
    assert evening.hear("how long on the chicken") == [
        "Chicken at sixty six and staying there. I name no time until it rises again."
    ]
    assert told(evening, (40, 68)) == [
        "Sixty eight, still staying there. I name no time until it rises again."
    ]
    evening.expect(130, 140, 150)
    said = evening.rise(46, 46, 70.0)
    assert said[-1] == "Chicken at seventy. I expect seventy four at eight twenty, give or take ten minutes."


def test_a_plateau_found_in_what_was_told_is_said_with_what_helps() -> None:
    evening = Roasting()
    evening.expect_no_moment(Outlook.PLATEAU)
    assert told(evening, (30, 62), (45, 62), (60, 62))[0].startswith("Chicken at sixty two and staying there")


def test_what_the_heat_will_not_bring_is_said() -> None:
    evening = Roasting()
    evening.expect_no_moment(Outlook.OUT_OF_REACH)
    evening.expect_no_moment(Outlook.OUT_OF_REACH)
    words = "in this heat it does not get to seventy four."
    assert evening.rise(30, 32, 66.0, 0.0) == [f"Chicken at sixty six: {words}"]
    assert evening.hear("how long on the chicken") == [f"Chicken at sixty six: {words}"]
    assert told(evening, (34, 68)) == [f"Chicken at sixty eight: {words}"]


def test_where_a_forecast_is_of_no_use_the_plans_range_answers() -> None:
    evening = Roasting()
    evening.expect_no_moment(Outlook.CANNOT_TELL)
    evening.rise(10, 12)
    assert evening.hear("how long on the chicken")[0].startswith(
        "Chicken: an hour and twenty minutes to an hour and fifty minutes"
    )


def test_a_young_forecast_holds_where_the_next_cannot_tell_and_then_the_plans_range() -> None:
    evening = Roasting()
    evening.expect(94, 100, 106)
    evening.expect_no_moment(Outlook.CANNOT_TELL)
    evening.expect_no_moment(Outlook.CANNOT_TELL)
    evening.rise(10, 12)
    evening.rise(13, 18, 11.5)
    assert left_min(evening) == (94.0, 106.0)
    evening.probe(40, 20)
    assert left_min(evening) == (91.0, 121.0)
    assert takes_by_forecast(evening.state, LONG_ROAST) is None


def test_a_held_timer_is_left_alone() -> None:
    evening = Roasting()
    told(evening, (30, 20), (45, 40), (60, 62))
    evening.hear("hold the chicken")
    before = evening.state.timers
    late = Forecast(step=LONG_ROAST.id, outlook=Outlook.RISING, at=START.instant)
    evening.feed(ForecastMade(forecast=late))
    assert evening.state.timers == before
    assert evening.hear("the chicken is at sixty eight") == ["Sixty eight: six degrees to go."]


@pytest.mark.parametrize("step", [StepId("chicken/never"), STEAM.id, LONG_ROAST.id])
def test_a_forecast_of_what_is_not_on_or_has_no_reading_changes_nothing(step: StepId) -> None:
    evening = Roasting()
    evening.hear("chicken is done")
    before = evening.state
    evening.feed(ForecastMade(forecast=Forecast(step=step, outlook=Outlook.PLATEAU, at=START.instant)))
    assert evening.state == before


def test_a_step_without_a_clock_has_no_timer_to_follow() -> None:
    evening = Roasting()
    evening.state = replace(evening.state, timers=())
    evening.expect(94, 100, 106)
    assert evening.rise(10, 12) == [FIRST.replace("ten minutes", "six minutes")]
    assert evening.state.timers == ()


def test_the_rest_is_planned_again_only_where_the_forecast_moved_enough() -> None:
    evening = Roasting()
    before = evening.replans
    for low, middle, high in (
        (90, 100, 110),
        (91, 101, 111),
        (98, 108, 118),
        (99, 108, 117),
        (106, 108, 110),
    ):
        evening.expect(low, middle, high)
    evening.rise(10, 12)
    assert evening.replans == before + 1
    evening.rise(13, 17, 11.5)
    assert evening.replans == before + 1
    evening.rise(18, 22, 14.0)
    assert evening.replans == before + 1
    evening.probe(85, 60)
    assert evening.replans == before + 2
    evening.probe(91, 63)
    assert evening.replans == before + 3


def test_losing_the_forecast_is_a_reason_to_plan_again_once() -> None:
    evening = Roasting()
    evening.expect(90, 100, 110)
    evening.expect_no_moment(Outlook.PLATEAU)
    evening.expect_no_moment(Outlook.PLATEAU)
    evening.rise(10, 12)
    before = evening.replans
    evening.rise(13, 23, 11.5)
    assert evening.replans == before + 1


def test_a_number_for_the_table_is_called_at_the_pull() -> None:
    table = replace(LONG_ROAST, is_for_table=True)
    evening = Roasting(table)
    call = "Roast the chicken now, oven at two hundred, for seventy four at the table."
    assert any(text.startswith(call) for text in evening.said)
    assert evening.hear("how long on the chicken")[0].endswith("for seventy four at the table.")
    assert take_off_c(evening.state, table) == 71.0
    evening.expect(94, 100, 106, pull_c=67.6, carry_c=6.4)
    said = told(evening, (30, 20), (45, 40), (60, 62))
    assert said == [
        "Sixty two now. Off at sixty eight: I expect that at seven forty, give or take six minutes."
    ]
    assert take_off_c(evening.state, table) == 67.6
    assert evening.hear("how long on the chicken") == [
        "Chicken: forty minutes. Off at sixty eight: I expect that at seven forty, give or take six minutes."
    ]
    assert told(evening, (98, 68)) == ["Sixty eight, take it off: resting does the rest. Up: the chicken."]
    assert evening.where(table) is StepState.UP


def test_a_probe_tells_of_the_pull_too() -> None:
    evening = Roasting(replace(LONG_ROAST, is_for_table=True))
    evening.expect(90, 100, 110, pull_c=67.6)
    assert evening.rise(10, 12) == [
        "Chicken at eleven. Off at sixty eight: I expect that at seven forty, give or take ten minutes."
    ]


def test_a_plan_in_fahrenheit_is_answered_in_fahrenheit() -> None:
    evening = Roasting(replace(LONG_ROAST, until=Temperature(degrees=165, scale=Scale.FAHRENHEIT)))
    evening.expect(90, 100, 110)
    assert evening.rise(10, 12) == [
        "Chicken at fifty two. I expect one hundred and sixty five at seven forty, give or take ten minutes."
    ]


def test_the_planner_is_given_the_forecasts_range() -> None:
    evening = Roasting()
    assert takes_by_forecast(evening.state, LONG_ROAST) is None
    evening.expect(91, 100, 111)
    evening.rise(10, 12)
    assert takes_by_forecast(evening.state, LONG_ROAST) == DurationRange(low_s=90 * 60, high_s=110 * 60)


def test_so_few_readings_are_enough() -> None:
    assert LEAST_READINGS == 3


def core_of(evening: Roasting) -> CoreRead | None:
    """What the status says of the roast's core."""
    status = status_of(evening.state, evening.now)
    return next(one.core for one in status.going if one.step == LONG_ROAST.id)


def test_the_status_knows_the_reading_and_what_is_expected() -> None:
    evening = Roasting()
    assert core_of(evening) is None
    evening.probe(9, -5.0)
    assert core_of(evening) == CoreRead(celsius=None, at=None, refused_c=-5.0)
    evening.probe(10, 10.0)
    assert core_of(evening) == CoreRead(celsius=10.0, at=START.wall + 600, refused_c=None)
    evening.expect(90, 100, 110, pull_c=67.6, carry_c=6.4)
    evening.rise(11, 12)
    core = core_of(evening)
    assert core is not None
    assert core.outlook is Outlook.RISING
    assert core.middle == START.wall + 6000
    assert (core.pull_c, core.carry_c) == (67.6, 6.4)
    evening.expect_no_moment(Outlook.PLATEAU)
    evening.rise(13, 20, 11.0)
    core = core_of(evening)
    assert core is not None
    assert (core.low, core.middle, core.high) == (None, None, None)
    assert core.outlook is Outlook.PLATEAU
