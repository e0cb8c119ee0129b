"""Readings become a forecast in the running service: here and apart, kept, replayed, short of words."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import ENGLISH
from kitchend.core.forecasts import Outlook
from kitchend.core.steps import StepState
from kitchend.reports.status import status_json, status_text
from kitchend.service.desk import RunnerDesk
from kitchend.service.forecasting import MIDDLING_OVEN_C, forecast_of, oven_c
from kitchend.service.planner import SolvingPlanner
from kitchend.service.planner_apart import PlannerApart
from tests.service.kitchen import Kitchen
from tests.service.roast_at_hand import ROAST, Truth, begun, probe, truths


@pytest.fixture(scope="module")
def truth() -> Truth:
    return truths(seed=3, count=6)[1]


@pytest.fixture
def half(truth: Truth, tmp_path: Path) -> Kitchen:
    """Two thirds of the way, with a probe every half minute."""
    kitchen = begun(truth, tmp_path)
    probe(kitchen, truth, 0.66 * truth.there_s, every_s=30.0)
    return kitchen


def test_the_forecast_of_a_probe_is_near_the_truth(half: Kitchen, truth: Truth) -> None:
    known = half.runner.state.forecasts[ROAST]
    on_at = half.runner.state.record_of(ROAST).on_at
    assert known.outlook is Outlook.RISING
    assert known.middle is not None
    assert on_at is not None
    left_s = truth.there_s - (known.at - on_at)
    assert abs((known.middle - on_at) - truth.there_s) < 0.35 * left_s
    timer = next(timer for timer in half.runner.state.timers if timer.step == ROAST)
    assert timer.due == known.low
    assert half.complaints == []


def test_a_probe_costs_few_words(half: Kitchen) -> None:
    told = [text for text in half.said if "expect" in text]
    assert len(told) == 1
    assert told[0].startswith("Duck at ")
    assert not any("What does it read" in text for text in half.said)


def test_readings_and_forecasts_are_replayed_to_the_same_state(half: Kitchen) -> None:
    again = Kitchen(half.plan, half.journal, at=half.clock.now())
    assert again.runner.restore()
    assert again.runner.state.forecasts == half.runner.state.forecasts
    assert again.runner.state.readings == half.runner.state.readings
    assert again.runner.state.timers == half.runner.state.timers


def test_apart_and_here_the_forecast_is_the_same(half: Kitchen) -> None:
    state, now = half.runner.state, half.clock.now()
    apart = PlannerApart()
    try:
        assert apart.process is not None
        assert apart.forecast(state, ROAST, now) == SolvingPlanner().forecast(state, ROAST, now)
    finally:
        apart.close()


def test_the_end_is_called_by_the_probe_and_the_rest_follows(truth: Truth, tmp_path: Path) -> None:
    kitchen = begun(truth, tmp_path)
    probe(kitchen, truth, 1.1 * truth.there_s, every_s=30.0)
    state = kitchen.runner.state
    up_at, on_at = state.record_of(ROAST).up_at, state.record_of(ROAST).on_at
    assert state.state_of(ROAST) is StepState.UP
    assert up_at is not None
    assert on_at is not None
    assert up_at - on_at == pytest.approx(truth.there_s, abs=240)
    assert any("that is it. Up: the duck." in text for text in kitchen.said)


def test_a_number_for_the_table_ends_the_step_where_resting_brings_it(tmp_path: Path) -> None:
    truth = truths(seed=3, count=6, where="at the table")[1]
    kitchen = begun(truth, tmp_path)
    probe(kitchen, truth, 1.1 * truth.there_s, every_s=30.0)
    known = kitchen.runner.state.forecasts[ROAST]
    assert known.carry_c is not None
    assert known.pull_c is not None
    assert 3.0 <= known.carry_c <= 14.0
    assert known.pull_c == pytest.approx(truth.target_c - known.carry_c)
    last = kitchen.runner.state.readings[-1].celsius
    assert kitchen.runner.state.state_of(ROAST) is StepState.UP
    assert known.pull_c - 0.1 <= last < truth.target_c - 1.5
    assert any("take it off: resting does the rest" in text for text in kitchen.said)


def test_told_readings_are_answered_through_the_desk_with_the_forecast(truth: Truth, tmp_path: Path) -> None:
    kitchen = begun(truth, tmp_path)
    probe(kitchen, truth, 0.6 * truth.there_s, every_s=120.0)
    desk = RunnerDesk(kitchen.runner, kitchen.clock, patience_s=0.0)
    on_at = kitchen.runner.state.record_of(ROAST).on_at
    assert on_at is not None
    core = round(truth.core_c(kitchen.clock.now().instant - on_at))
    before = len(kitchen.said)
    desk.tell(f"the duck is at {core}")
    kitchen.runner.run_pending()
    (reply,) = kitchen.said[before:]
    assert "now. I expect" in reply
    assert "give or take" in reply


def test_status_and_board_show_readings_and_forecast(half: Kitchen, truth: Truth) -> None:
    state, now = half.runner.state, half.clock.now()
    shape = status_json(state, now)
    core = next(one["core"] for one in shape["going"] if one["step"] == "roast the duck")
    assert core["outlook"] == "rising"
    assert core["low"] < core["likely"] < core["high"]
    assert core["celsius"] == round(state.readings[-1].celsius, 1)
    assert f"expected {core['low'][11:16]} to" in status_text(shape)
    (plot,) = view_of_dinner(state, now, Watcher(hears=False, speaks=False), ENGLISH)["readings"]
    low, high = plot["forecast"]
    assert low < plot["likely"] < high
    assert plot["target"] == truth.target_c
    assert len(plot["points"]) == len(state.readings)
    assert any("resting adds about" in note for note in plot["notes"])


def test_a_reading_left_out_is_shown(half: Kitchen) -> None:
    from kitchend.core.events import ReadingTaken

    half.put(ReadingTaken(of="duck", celsius=-3.0))
    text = status_text(status_json(half.runner.state, half.clock.now()))
    assert "left out -3 C, which cannot be" in text
    (plot,) = view_of_dinner(
        half.runner.state, half.clock.now(), Watcher(hears=False, speaks=False), ENGLISH
    )["readings"]
    assert any("cannot be" in note for note in plot["notes"])


def test_a_dinners_worth_of_readings_stays_small(truth: Truth, tmp_path: Path) -> None:
    kitchen = begun(truth, tmp_path)
    probe(kitchen, truth, 0.7 * truth.there_s)
    assert len(pickle.dumps(kitchen.runner.state)) < 200_000
    assert len(kitchen.runner.state.readings) <= 300


def test_an_oven_that_was_read_is_believed_before_its_dial(half: Kitchen) -> None:
    from kitchend.core.events import ReadingTaken

    state = half.runner.state
    step = state.step(ROAST)
    dial = step.uses[0].at
    assert dial is not None
    assert oven_c(state, step, half.clock.now()) == dial.celsius
    for celsius in (151.0, 150.0, 149.0):
        half.put(ReadingTaken(of="oven", celsius=celsius))
    assert oven_c(half.runner.state, step, half.clock.now()) == 150.0
    leeks = next(one for one in half.plan.steps if one.name == "braise the leeks")
    assert oven_c(state, leeks, half.clock.now()) == MIDDLING_OVEN_C
    with pytest.raises(ValueError, match="does not end by a reading"):
        forecast_of(state, leeks.id, half.clock.now())
