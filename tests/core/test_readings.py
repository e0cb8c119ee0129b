"""Readings that come by themselves: which are taken, which are left out, and how few words they cost."""

from __future__ import annotations

import math
import pickle
from dataclasses import replace
from random import Random

import pytest

from kitchend.core.plan import EquipmentId
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.readings import MOST_KEPT, thinned
from kitchend.core.state import DinnerState, Reading
from kitchend.core.steps import StepState
from tests.core.evening import PLAN, ROAST, START, Evening
from tests.core.roasting import LONG_ROAST, Roasting


def celsius(state: DinnerState, of: str = LONG_ROAST.id) -> list[float]:
    return [one.celsius for one in state.readings if one.of == of]


@pytest.mark.parametrize("of", ["chicken", "the chicken", "bird", LONG_ROAST.id, "roast the chicken"])
def test_a_probe_may_be_named_as_a_cook_would_or_by_the_step(of: str) -> None:
    evening = Roasting()
    assert evening.probe(10, 20.0, of) == []
    assert celsius(evening.state) == [20.0]


def test_equipment_is_read_without_a_word() -> None:
    evening = Roasting()
    assert evening.probe(10, 120.0, "oven") == []
    assert celsius(evening.state, EquipmentId("oven")) == [120.0]


@pytest.mark.parametrize("of", ["greens", "dishwasher", "", "rest the chicken"])
def test_what_is_not_on_or_unknown_is_left_out(of: str) -> None:
    evening = Roasting()
    before = evening.state
    evening.probe(1, 60.0, of)
    assert evening.state == before


def test_before_there_is_a_dinner_a_reading_is_nothing() -> None:
    evening = Evening()
    evening.state = DinnerState()
    Roasting.probe(evening, 1, 60.0, "chicken")  # type: ignore[arg-type]  # any evening is fed the same way
    assert evening.state.readings == ()


@pytest.mark.parametrize("wrong", [-1.0, -40.0, 215.0, 106.0, math.nan, math.inf])
def test_what_no_core_reads_is_left_out_in_silence(wrong: float) -> None:
    evening = Roasting()
    evening.probe(10, 20.0)
    assert evening.probe(11, wrong) == []
    assert celsius(evening.state) == [20.0]


def test_hotter_than_its_oven_cannot_be() -> None:
    evening = Roasting(replace(LONG_ROAST, uses=(replace(LONG_ROAST.uses[0], at=Temperature(degrees=80)),)))
    evening.probe(10, 91.0)
    assert celsius(evening.state) == []
    evening.probe(11, 70.0)
    assert celsius(evening.state) == [70.0]


def test_a_jump_is_left_out_and_noted() -> None:
    evening = Roasting()
    evening.probe(10, 20.0)
    evening.probe(10.2, 45.0)
    assert celsius(evening.state) == [20.0]
    assert [(one.of, one.celsius) for one in evening.state.refused] == [(LONG_ROAST.id, 45.0)]
    evening.probe(10.4, 20.1)
    assert celsius(evening.state) == [20.0, 20.1]
    assert evening.state.refused == ()


def test_a_probe_put_elsewhere_is_believed_after_a_while_and_begins_anew() -> None:
    evening = Roasting()
    evening.rise(10, 20, 50.0)
    for minute in range(21, 27):
        evening.probe(minute, 30.0 + 0.1 * minute)
    assert celsius(evening.state) == [pytest.approx(32.6)]


def test_a_probe_that_lies_about_is_never_believed() -> None:
    evening = Roasting()
    evening.probe(10, 50.0)
    for minute in range(11, 21):
        evening.probe(minute, -5.0)
    for minute in range(21, 30):
        evening.probe(minute, 20.0 if minute % 2 else 99.0)
    assert celsius(evening.state) == [50.0]


def test_a_probe_that_is_there_calls_the_step_up_once() -> None:
    evening = Roasting()
    evening.rise(60, 61, 72.0, 1.0)
    assert evening.probe(62, 74.3) == []
    assert evening.probe(63, 74.4) == ["Chicken at seventy four, that is it. Up: the chicken."]
    assert evening.where(LONG_ROAST) is StepState.UP
    assert evening.probe(63.4, 75.0) == []
    assert evening.at_minute(64) == ["Still up: the chicken."]


def test_one_reading_after_a_long_silence_is_enough() -> None:
    evening = Roasting()
    evening.probe(60, 70.0)
    assert evening.probe(70, 75.0) == ["Chicken at seventy five, that is it. Up: the chicken."]


def test_a_probe_for_the_table_says_take_it_off() -> None:
    evening = Roasting(replace(LONG_ROAST, is_for_table=True))
    evening.probe(60, 70.0)
    assert evening.probe(70, 71.5) == [
        "Chicken at seventy two, take it off: resting does the rest. Up: the chicken."
    ]


def test_a_probe_in_a_plan_in_fahrenheit_is_spoken_of_in_fahrenheit() -> None:
    evening = Roasting(replace(LONG_ROAST, until=Temperature(degrees=165, scale=Scale.FAHRENHEIT)))
    assert evening.probe(70, 75.0) == ["Chicken at one hundred and sixty seven, that is it. Up: the chicken."]


def test_what_cannot_be_is_asked_back_and_not_used_even_so() -> None:
    evening = Roasting()
    evening.at_minute(60)
    assert evening.hear("the chicken is at one hundred and forty") == ["Chicken at one hundred and forty?"]
    assert evening.hear("yes") == ["Chicken at one hundred and forty cannot be; I leave it out. Look again."]
    assert celsius(evening.state) == []
    assert evening.hear("the chicken is at one hundred and forty") == ["Chicken at one hundred and forty?"]
    assert evening.hear("no, forty") == ["Forty: thirty four degrees to go. Too soon to say when."]


def test_twelve_hours_of_a_probe_stay_small() -> None:
    rng = Random(4)
    evening = Roasting()
    state = evening.state
    for number in range(4320):
        at = evening.now.instant + 10.0 * number
        reading = Reading(of=ROAST.id, celsius=10.0 + 0.015 * number + rng.gauss(0, 0.5), at=at)
        state = replace(state, readings=thinned((*state.readings, reading), ROAST.id))
    assert len(state.readings) <= MOST_KEPT
    assert len(pickle.dumps(state.readings)) < 100_000
    times = [one.at.s for one in state.readings]
    assert times == sorted(times)
    for one in state.readings:
        gone_s = one.at - evening.now.instant
        assert one.celsius == pytest.approx(10.0 + 0.0015 * gone_s, abs=2.5)
    assert times[-1] == (evening.now.instant + 43190.0).s


def test_thinning_one_thing_leaves_another_alone() -> None:
    oven = tuple(Reading(of="oven", celsius=180.0, at=START.instant + 7.0 * n) for n in range(5))
    core = tuple(Reading(of="x", celsius=20.0, at=START.instant + 1.0 * n) for n in range(MOST_KEPT + 1))
    left = thinned((*core, *oven), "x")
    assert [one for one in left if one.of == "oven"] == list(oven)
    assert len(left) < len(core)


def test_a_step_that_does_not_end_by_reading_is_no_probes_business() -> None:
    evening = Evening(plan=PLAN)
    evening.at_minute(20)
    evening.hear("trim the greens")
    before = evening.state.readings
    Roasting.probe(evening, 21, 60.0, "greens")  # type: ignore[arg-type]  # any evening is fed the same way
    assert evening.state.readings == before
