"""Countdowns: held, given time, rung in order."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import Instant
from kitchend.core.plan import StepId
from kitchend.core.timers import Timer, TimerId, due_timers, next_deadline, timer_of_step

NOW = Instant(100.0)
seconds = st.floats(min_value=0, max_value=1e6, allow_nan=False)


def a_timer(name: str, in_s: float | None, left_s: float | None = None) -> Timer:
    due = None if in_s is None else NOW + in_s
    return Timer(id=TimerId(name), name=name, due=due, left_s=left_s)


def test_the_next_deadline_is_the_earliest_running_one() -> None:
    timers = (a_timer("rice", 60), a_timer("eggs", 30), a_timer("held", None, 5))
    assert next_deadline(timers) == NOW + 30


def test_nothing_running_has_no_deadline() -> None:
    assert next_deadline((a_timer("held", None, 5),)) is None
    assert next_deadline(()) is None


def test_due_timers_ring_the_longest_overdue_first() -> None:
    timers = (a_timer("a", 1), a_timer("b", 0), a_timer("c", -10), a_timer("d", -5), a_timer("e", None, 0))
    assert [timer.name for timer in due_timers(timers, NOW)] == ["c", "d", "b"]


@given(left=seconds, away=seconds)
def test_holding_keeps_what_is_left_however_long_it_is_held(left: float, away: float) -> None:
    held = a_timer("rice", left).hold(NOW)
    later = NOW + away
    assert held.is_held
    assert abs(held.remaining_s(later) - left) < 1e-6
    assert abs(held.carry_on(later).remaining_s(later) - left) < 1e-6


def test_holding_twice_and_carrying_on_twice_change_nothing_more() -> None:
    held = a_timer("rice", 60).hold(NOW)
    assert held.hold(NOW + 5) is held
    running = held.carry_on(NOW + 5)
    assert running.carry_on(NOW + 9) is running


@given(left=seconds, more=st.floats(min_value=-1e5, max_value=1e5, allow_nan=False))
def test_time_given_to_a_running_timer_moves_its_due_moment_by_just_that(left: float, more: float) -> None:
    given_more = a_timer("rice", left).give(more)
    assert abs(given_more.remaining_s(NOW) - (left + more)) < 1e-6


def test_time_taken_from_a_held_timer_stops_at_nothing() -> None:
    assert a_timer("rice", None, 60).give(-90).remaining_s(NOW) == 0
    assert a_timer("rice", None, 60).give(30).remaining_s(NOW) == 90


def test_a_steps_timer_is_found_by_its_step() -> None:
    mine = Timer(id=TimerId("step:x"), name="x", due=NOW, step=StepId("x"))
    assert timer_of_step((a_timer("rice", 1), mine), StepId("x")) is mine
    assert timer_of_step((a_timer("rice", 1),), StepId("x")) is None
