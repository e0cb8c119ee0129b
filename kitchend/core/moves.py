"""Moving steps and their timers together: start, finish, hold, carry on, give time, drop, run out.

Every function takes a state and returns a new one, or None when the transition table refuses; a refusal
changes nothing. A step's timer exists exactly while the step is on or held and has a clock. Says nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kitchend.core.clock import Instant, Now
from kitchend.core.plan import Step, StepId
from kitchend.core.room import overtaken
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepMove, StepRecord, moved
from kitchend.core.timers import Timer, TimerId, timer_of_step

FIRST_LOOK_S = 300
"""Looks at something that ends by reading come at least this far apart."""
LAST_LOOK_S = 900
"""... and at most this far."""


def call(state: DinnerState, step: Step, now: Now) -> DinnerState | None:
    """The step was called. A step kitchend added is kept in the state from here on."""
    new = _move(state, step.id, StepMove.CALL, called_at=now.instant)
    if new is None or not step.added or step in new.added:
        return new
    return replace(new, added=(*new.added, step))


def start(state: DinnerState, step: Step, now: Now, *, since: Instant | None = None) -> DinnerState | None:
    """The step went on, now or `since`. Its clock counts the hands' share since the call as already spent."""
    record = state.record_of(step.id)
    began = now.instant if since is None else since
    new = _move(state, step.id, StepMove.START, on_at=began, is_heard=False)
    if new is None:
        return None
    if step.added and step not in new.added:
        new = replace(new, added=(*new.added, step))
    if step.is_hands_only:
        return new
    spent = step.hands_s
    if record.called_at is not None:
        spent = min(step.hands_s, round(now.instant - record.called_at))
    due = began + max(0, step.takes.low_s - spent)
    spread = step.takes.high_s - step.takes.low_s
    timer = Timer(id=_timer_id(step.id), name=step.name, due=due, spread_s=spread, step=step.id)
    return _with_timer(new, timer)


def finish(state: DinnerState, step_id: StepId, now: Now) -> DinnerState | None:
    """The step is done, whether or not its time had run out."""
    new = _move(state, step_id, StepMove.FINISH, ended_at=now.instant, is_heard=False)
    return None if new is None else _without_timer(new, step_id)


def drop(state: DinnerState, step_id: StepId, now: Now) -> DinnerState | None:
    """The step is left out."""
    new = _move(state, step_id, StepMove.DROP, ended_at=now.instant, is_heard=False)
    return None if new is None else _without_timer(new, step_id)


def shed(state: DinnerState, now: Now) -> DinnerState:
    """What others overtook goes quietly: reminders without a host, heatings of an oven that is in use."""
    for heating in overtaken(state):
        state = finish(state, heating, now) or state
    return _shed_reminders(state, now)


def _shed_reminders(state: DinnerState, now: Now) -> DinnerState:
    for step in state.steps:
        if step.during is None or state.record_of(step.id).has_ended:
            continue
        if state.record_of(step.during).has_ended:
            state = drop(state, step.id, now) or state
    return state


def run_out(state: DinnerState, step_id: StepId, now: Now) -> DinnerState | None:
    """The step's time has run out, be it a while ago, or its reading is there: it is up."""
    timer = timer_of_step(state.timers, step_id)
    up_at = now.instant if timer is None or timer.due is None else min(timer.due, now.instant)
    new = _move(state, step_id, StepMove.RUN_OUT, up_at=up_at, is_heard=False)
    return None if new is None else _without_timer(new, step_id)


def look(state: DinnerState, step: Step, now: Now) -> DinnerState:
    """The cook was asked to look at a step whose time is a guess; its clock goes on to the next look."""
    timer = timer_of_step(state.timers, step.id)
    record = state.record_of(step.id)
    if timer is None or timer.due is None:
        return state
    wait = timer.spread_s
    if step.until is not None:
        wait = min(max((step.takes.high_s - step.takes.low_s) / 3, FIRST_LOOK_S), LAST_LOOK_S)
    later = replace(timer, due=timer.due + wait, spread_s=timer.spread_s - wait)
    new = _with_timer(state, later)
    return _with_record(new, step.id, replace(record, checks=record.checks + 1))


def hold(state: DinnerState, step_id: StepId, now: Now) -> DinnerState | None:
    """The step's time stops on purpose. A step without a clock cannot be held."""
    timer = timer_of_step(state.timers, step_id)
    new = None if timer is None else _move(state, step_id, StepMove.HOLD, is_heard=False)
    return None if new is None or timer is None else _with_timer(new, timer.hold(now.instant))


def carry_on(state: DinnerState, step_id: StepId, now: Now) -> DinnerState | None:
    """The held step's time runs again."""
    timer = timer_of_step(state.timers, step_id)
    new = _move(state, step_id, StepMove.CARRY_ON, is_heard=False)
    return None if new is None or timer is None else _with_timer(new, timer.carry_on(now.instant))


def give(state: DinnerState, step: Step, seconds: int, now: Now) -> DinnerState | None:
    """A step's time is made longer (or shorter, below zero). One that is up goes on again for that long."""
    record = state.record_of(step.id)
    longer = replace(record, given_s=record.given_s + seconds)
    timer = timer_of_step(state.timers, step.id)
    if timer is not None:
        return _with_record(_with_timer(state, timer.give(seconds)), step.id, longer)
    if seconds <= 0 or (new := _move(state, step.id, StepMove.MORE_TIME, is_heard=False)) is None:
        return None
    new = _with_record(new, step.id, replace(new.record_of(step.id), given_s=longer.given_s))
    fresh = Timer(id=_timer_id(step.id), name=step.name, due=now.instant + seconds, step=step.id)
    return _with_timer(new, fresh)


def hear(state: DinnerState, step_id: StepId, *, is_heard: bool = True) -> DinnerState:
    """The call a step waits on was acknowledged (or has to be again); the step does not move."""
    return _with_record(state, step_id, replace(state.record_of(step_id), is_heard=is_heard))


def put_timer(state: DinnerState, timer: Timer) -> DinnerState:
    """The same state with this timer in it, in place of one with the same id."""
    return _with_timer(state, timer)


def remove_timer(state: DinnerState, timer_id: TimerId) -> DinnerState:
    """The same state without this timer."""
    return replace(state, timers=tuple(timer for timer in state.timers if timer.id != timer_id))


def restore(
    state: DinnerState,
    records: Mapping[StepId, StepRecord],
    timers: Mapping[TimerId, Timer | None],
) -> DinnerState:
    """The same state with these records and timers put back as they stood (None: the timer was not there)."""
    kept = tuple(timer for timer in state.timers if timer.id not in timers)
    back = tuple(timer for timer in timers.values() if timer is not None)
    return replace(state, records={**state.records, **records}, timers=kept + back)


def _timer_id(step_id: StepId) -> TimerId:
    return TimerId(f"step:{step_id}")


def _move(
    state: DinnerState,
    step_id: StepId,
    move: StepMove,
    *,
    called_at: Instant | None = None,
    on_at: Instant | None = None,
    up_at: Instant | None = None,
    ended_at: Instant | None = None,
    is_heard: bool | None = None,
) -> DinnerState | None:
    record = state.record_of(step_id)
    to = moved(record.state, move)
    if to is None:
        return None
    new = replace(
        record,
        state=to,
        called_at=called_at or record.called_at,
        on_at=on_at or record.on_at,
        up_at=up_at or record.up_at,
        ended_at=ended_at or record.ended_at,
        is_heard=record.is_heard if is_heard is None else is_heard,
    )
    return _with_record(state, step_id, new)


def _with_record(state: DinnerState, step_id: StepId, record: StepRecord) -> DinnerState:
    return replace(state, records={**state.records, step_id: record})


def _with_timer(state: DinnerState, timer: Timer) -> DinnerState:
    others = tuple(other for other in state.timers if other.id != timer.id)
    return replace(state, timers=(*others, timer))


def _without_timer(state: DinnerState, step_id: StepId) -> DinnerState:
    return remove_timer(state, _timer_id(step_id))
