"""When an unanswered call comes back and in which words, and when it becomes *careful*.

Pauses grow and words shrink; after the last pause a call stops and stays listed. What is about to spoil does
not stop: once it has stood as long as it keeps, its call is *careful* and comes back until it is answered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kitchend.core import wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.names import short_name
from kitchend.core.plan import GRACE_S, Plan, Step
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

HELD_S = (300.0, 900.0, 1800.0)
"""Pauses before each reminder of a step that is held."""

TOGETHER_S = 20.0
"""Calls due so close together are said together."""

RUSH_TOGETHER_S = 60.0
"""... and so close, when there has been much to say of late."""

CROWD, CROWD_S = 5, 600.0
"""After so many calls within so long, a repeat waits for company or for calm while dinner can spare it.
Five in ten minutes are likely excessive (EEMUA 191, as given in Chemical Processing, 6 December 2011)."""

FULL = 8
"""After so many it waits though dinner may be later for it: more than ten are a flood (ISA-18.2, ibid.)."""

ONCE = 99
"""`again` of a call that is said once and not repeated."""


def pauses(state: DinnerState, call: Call) -> tuple[float, ...]:
    """The pauses of a call of this kind."""
    if call.state is StepState.HELD:
        return HELD_S
    chosen = state.manners.repeats
    if call.kind is CallKind.CAREFUL:
        return chosen.careful
    return chosen.up if call.kind is CallKind.UP else chosen.now


def comes_back(state: DinnerState, call: Call) -> bool:
    """Whether it has a repeat to come."""
    return call.again < len(pauses(state, call))


def next_at(state: DinnerState, call: Call, now: Now) -> Instant | None:
    """When a call just said comes back; None once it has come back often enough."""
    after = pauses(state, call)
    if call.kind is CallKind.CAREFUL:
        return now.instant + after[min(call.again, len(after) - 1)] if after else None
    if call.again < len(after):
        return now.instant + after[call.again]
    spoils = spoils_at(state, call)
    return None if spoils is None or call.again >= ONCE else max(spoils, now.instant + 1.0)


def spoils_at(state: DinnerState, call: Call) -> Instant | None:
    """When what it is about has stood as long as it keeps; None where nothing suffers."""
    if call.step is None:
        return None
    step = state.step(call.step)
    if call.state is StepState.UP:
        return _kept_until(state, step)
    if call.state is not StepState.CALLED:
        return None
    # Without `keeps` of its own nobody said that it suffers; then it is only to go on without delay.
    befores = (state.step(before) for before in step.after)
    ends = (_kept_until(state, before) for before in befores if before.keeps_s != GRACE_S)
    return min((end for end in ends if end is not None), default=None)


def _kept_until(state: DinnerState, step: Step) -> Instant | None:
    record = state.record_of(step.id)
    since = record.up_at if record.up_at is not None else record.ended_at
    return None if step.keeps_s is None or since is None else since + step.keeps_s


def again(state: DinnerState, call: Call, now: Now) -> Call:
    """The call as it is said this time: shorter than before, or *careful* once it spoils."""
    if call.kind in (CallKind.UP, CallKind.NOW) and call.step is not None and state.plan is not None:
        spoils = spoils_at(state, call)
        if spoils is not None and spoils <= now.instant:
            return _careful(state, call, state.step(call.step), state.plan, now)
    text = call.least if call.again and call.least else call.short or call.text
    return replace(call, text=text, again=call.again + 1)


def _careful(state: DinnerState, call: Call, step: Step, plan: Plan, now: Now) -> Call:
    """From here on it is about to spoil. Its repeats are counted anew."""
    since = state.record_of(step.id).up_at
    late_s = 0.0 if since is None else now.instant - since
    name = short_name(step, plan)
    text = wording.careful_call(step, late_s=late_s)
    short = wording.say("careful.again", thing=name)
    return replace(call, kind=CallKind.CAREFUL, text=text, short=short, least="", again=1)


def lately(state: DinnerState, now: Now, *, is_call: bool) -> tuple[Instant, ...]:
    """When calls were made in the last ten minutes, with one made now if it is one."""
    recent = tuple(at for at in state.called_lately if now.instant - at < CROWD_S)
    return (*recent, now.instant) if is_call else recent


def calm_at(state: DinnerState, now: Now) -> Instant | None:
    """When it will have been calm again, if nothing more is called; None where it is."""
    recent = lately(state, now, is_call=False)
    return recent[-CROWD] + CROWD_S if len(recent) >= CROWD else None


def reach_s(state: DinnerState, now: Now) -> float:
    """How far ahead of its time a call may go along with another, in seconds: farther in a rush."""
    return TOGETHER_S if len(lately(state, now, is_call=False)) < CROWD else RUSH_TOGETHER_S


def _reach_s(state: DinnerState, call: Call, reach_s: float) -> float:
    """The same for a repeat: never so far that it comes hard upon what it repeats."""
    paused = pauses(state, call)[call.again : call.again + 1]
    return min((reach_s, *(pause / 2 for pause in paused)))


def next_repeat(state: DinnerState, now: Now) -> Instant | None:
    """When the next unanswered call comes back."""
    recent = lately(state, now, is_call=False)
    moments = (_moment(state, call, now, recent) for call in state.open_calls)
    return min((moment for moment in moments if moment is not None), default=None)


def _moment(state: DinnerState, call: Call, now: Now, recent: Sequence[Instant]) -> Instant | None:
    """When it comes back by itself: where much was called of late that waits, but not for what spoils."""
    if call.at is None or call.kind is CallKind.CAREFUL:
        return call.at
    if state.tone.quiet_until is not None and state.tone.is_quiet_at(now.instant):
        spoils = spoils_at(state, call)
        quiet = max(call.at, state.tone.quiet_until)
        return quiet if spoils is None else min(quiet, max(call.at, spoils))
    if len(recent) < CROWD:
        return call.at
    calmer = recent[-CROWD] + CROWD_S
    latest = spared_until(state, call, now)
    if latest is not None:
        full = recent[-FULL] + CROWD_S if len(recent) >= FULL else call.at
        calmer = min(calmer, max(latest, full))
    spoils = spoils_at(state, call)
    return max(call.at, calmer if spoils is None else min(calmer, spoils))


def spared_until(state: DinnerState, call: Call, now: Now) -> Instant | None:
    """How long what it asks for may wait before dinner is later for it; None where nothing depends on it."""
    planned = None if call.step is None or state.timeline is None else state.timeline.of(call.step)
    if planned is None:
        return None
    due = planned.end if call.state is StepState.UP else planned.start
    return now.instant_of(due + planned.slack_s)


def say_again(state: DinnerState, now: Now, *, beside: Sequence[Call]) -> DinnerState:
    """Unanswered calls whose pause is over wait to be said again, in their shorter form.

    Beside another call they cost no attention of their own: then those due within moments go along. `beside`
    are the waiting calls that may be said by now; one that itself waits for its time takes none along yet.
    """
    if state.speaking is not None or not state.open_calls:
        return state
    is_quiet = state.tone.is_quiet_at(now.instant)
    is_said = not is_quiet and any(call.kind is not CallKind.REPLY for call in beside)
    reach, recent = reach_s(state, now), lately(state, now, is_call=False)

    def is_due(call: Call) -> bool:
        if is_said:
            return call.at is not None and call.at <= now.instant + _reach_s(state, call, reach)
        moment = _moment(state, call, now, recent)
        return moment is not None and moment <= now.instant

    due = [call for call in state.open_calls if is_due(call)]
    kept = tuple(call for call in state.open_calls if call not in due)
    anew = tuple(again(state, call, now) for call in due)
    return replace(state, open_calls=kept, waiting_calls=(*state.waiting_calls, *anew))


def say_unanswered(state: DinnerState, now: Now) -> DinnerState:
    """Every call that waits for an answer is due again now: nobody may have heard it."""
    due = (replace(call, at=now.instant, again=max(0, call.again - 1)) for call in state.open_calls)
    return replace(state, open_calls=tuple(due))
