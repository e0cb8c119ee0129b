"""What has become due by now: timers that ran out, steps to call, repeats, questions that lapse, the end.

Runs after every event, so that a late tick and many early ones come to the same. Moves steps only by what
time does to them; then says when it wants to be woken.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import (
    calls,
    forecasting,
    hush,
    moves,
    repeats,
    rests,
    safety,
    silence,
    soon,
    wording,
    wording_calls,
)
from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.early import mind_early
from kitchend.core.effects import CallKind
from kitchend.core.lateness import LATE_S, STEP_LATE_S, as_late_as_now, late_beside, late_s
from kitchend.core.names import short_name
from kitchend.core.passes_due import call_earlier_passes, earlier_pass_moments
from kitchend.core.plan import Step
from kitchend.core.progress import (
    ANSWERABLE,
    RUNNING,
    blockers,
    coming,
    cook_of,
    hands_are_busy,
    hands_free_moments,
    steps_in,
    unfinished,
)
from kitchend.core.room import clear_moments, in_the_way, just_hot
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer, TimerId, due_timers, next_deadline

POLITE_S = 90.0
"""How long a due call waits for busy hands before it is made anyway."""
DRIFT_S = 60.0
"""How far anything may run over its planned end before the rest is planned again."""
PLAN_WAIT_S = 5.0
"""How long new calls wait for a re-plan that has been asked for."""

TOGETHER = frozenset({CallKind.NOW, CallKind.UP})
"""Kinds of call that take along what is due within moments."""

UNSAID_S = 30.0
"""A question that waits to be said lapses no sooner than so long after it is."""

REST_S = 0.05
"""Between two wakings at least, but for a timer that runs out: that is never late."""


def settle(state: DinnerState, now: Now) -> DinnerState:
    """Everything that time has brought, in order."""
    state = forecasting.lapse(_lapsed(state, now), now)
    state = _ring(state, now)
    state = moves.shed(state, now)
    state = mind_early(state, now)
    state = _begin_rests(state, now)
    state = _call_due(state, now)
    state = silence.mind(safety.mind(state, now), now)
    state = _mind_held(state, now)
    state = call_earlier_passes(state, now)
    state = _close(state, now)
    state = state if is_waiting_for_plan(state, now) else soon.warn(state, now)
    state = calls.tidy(state)
    return hush.settle(repeats.say_again(state, now, beside=hush.may_be_said(state, now)), now)


def _lapsed(state: DinnerState, now: Now) -> DinnerState:
    """An unanswered question goes away and changes nothing; one not yet said, as in a quiet, waits."""
    asked = state.asked
    if asked is None or state.speaking is not None:
        return state
    is_unsaid = any(c.text == asked.text and c.kind is not CallKind.REPLY for c in state.waiting_calls)
    if is_unsaid and asked.lapses < now.instant + UNSAID_S:
        return replace(state, asked=replace(asked, lapses=now.instant + UNSAID_S))
    return state if asked.lapses > now.instant else replace(state, asked=None)


def _ring(state: DinnerState, now: Now) -> DinnerState:
    """A step's timers ring. A cook's own rings once and stays, overdue, until it is answered."""
    rung = _rung(state)
    for timer in due_timers(state.timers, now.instant):
        step = state.step(timer.step) if timer.step is not None else None
        if step is not None:
            state = _step_ring(state, step, timer, now)
        elif timer.id not in rung:
            state = _own_ring(state, timer, now)
    return state


def _rung(state: DinnerState) -> set[TimerId | None]:
    """The timers whose calls wait to be said or answered."""
    return {call.timer for call in (*state.waiting_calls, *state.open_calls)}


def _own_ring(state: DinnerState, timer: Timer, now: Now) -> DinnerState:
    kind = CallKind.UP if timer.remind is None else CallKind.NOW
    short = (
        wording.say("timer.up.again", name=timer.name)
        if timer.remind is None
        else wording.say("remind.again", what=timer.remind)
    )
    late = late_s(timer.due, now)
    text, clause = wording.timer_call(timer, late_s=late), wording_calls.timer_clause(timer, late_s=late)
    call = Call(kind=kind, text=text, short=short, clause=clause, at=now.instant, timer=timer.id)
    return calls.add(state, call)


def _step_ring(state: DinnerState, step: Step, timer: Timer, now: Now) -> DinnerState:
    """A step's time has run out: it is up; or, while it is a guess, the cook is asked to look."""
    if step.until is not None or timer.spread_s > 0:
        looked = moves.look(state, step, now)
        was_read = step.until is not None and forecasting.is_fresh(state, step, now)
        return looked if was_read else calls.add(looked, _look(state, step, now))
    up = moves.run_out(state, step.id, now) or state
    if step.added:
        return moves.finish(up, step.id, now) or up
    short = wording.say("up.again", step=wording.said_thing(step))
    late, cook = late_s(timer.due, now, STEP_LATE_S), cook_of(state, step)
    text = wording.up_call(step, cook, late_s=late)
    if rests.looks_after_itself(step):
        return _over_itself(up, step, text, now)
    call = Call(
        kind=CallKind.UP,
        text=text,
        short=short,
        least=wording.say("up.least", thing=_short(state, step)),
        clause="" if cook else wording_calls.up_clause(step, late_s=late_beside(late)),
        tail=wording_calls.seen_of(_short(state, step), step),
        at=now.instant,
        step=step.id,
        state=StepState.UP,
    )
    return calls.add(up, call)


def _short(state: DinnerState, step: Step) -> str:
    return short_name(step, state.plan) if state.plan else step.name


def _least(state: DinnerState, step: Step) -> str:
    """A call that is due in one word; none where something else of that name is on, called or up."""
    thing = _short(state, step)
    busy = steps_in(state, *RUNNING, *ANSWERABLE)
    is_one = all(_short(state, other) != thing for other in busy if other.id != step.id)
    return wording.say("now.least", thing=thing) if is_one else ""


def _over_itself(up: DinnerState, step: Step, text: str, now: Now) -> DinnerState:
    """What looks after itself is over; said once, and it waits for a word only if something follows it."""
    call = Call(kind=CallKind.UP, text=text, at=now.instant)
    if not rests.is_needed(up, step) and step.look_for is None:
        return calls.add(moves.finish(up, step.id, now) or up, call)
    return calls.add(up, replace(call, step=step.id, state=StepState.UP, again=repeats.ONCE))


def _mind_held(state: DinnerState, now: Now) -> DinnerState:
    """Each held step is kept in mind, to be reminded of rarely."""
    for step in steps_in(state, StepState.HELD):
        known = any(c.step == step.id and c.state is StepState.HELD for c in _all_calls(state))
        if not known and not state.record_of(step.id).is_heard:
            text = wording.say("held.still", step=wording.said_step(step))
            at = now.instant + repeats.HELD_S[0]
            call = Call(kind=CallKind.SOON, text=text, at=at, step=step.id, state=StepState.HELD)
            state = replace(state, open_calls=(*state.open_calls, call))
    return state


def _all_calls(state: DinnerState) -> tuple[Call, ...]:
    return (*state.waiting_calls, *state.open_calls)


def pick_up(state: DinnerState, now: Now) -> DinnerState:
    """After a restart: calls that were being said at the end are made again, as late as they are by now."""
    state, lost = calls.cut_off(state)
    waiting = tuple(as_late_as_now(state, call, now, LATE_S) for call in (*lost, *state.waiting_calls))
    return silence.picked_up(replace(state, waiting_calls=waiting, owed=()), now)


def _look(state: DinnerState, step: Step, now: Now) -> Call:
    return Call(kind=CallKind.SOON, text=wording.look_call(step, _short(state, step)), at=now.instant)


def _begin_rests(state: DinnerState, now: Now) -> DinnerState:
    """What looks after itself goes on, and kitchend says so."""
    state, begun = rests.begin(state, now)
    said = (Call(kind=CallKind.SOON, text=wording.itself_call(step), at=now.instant) for step in begun)
    return calls.add(state, *said)


def _call_due(state: DinnerState, now: Now) -> DinnerState:
    if is_waiting_for_plan(state, now):
        return state
    state = _call_until(state, now.instant, now)
    # What is due within moments of what is said now is said with it: one sentence in place of two.
    is_said = any(call.kind in TOGETHER and not call.again for call in state.waiting_calls)
    is_said = is_said and not hush.is_quiet(state, now)
    return _call_until(state, now.instant + repeats.reach_s(state, now), now) if is_said else state


def _call_until(state: DinnerState, end: Instant, now: Now) -> DinnerState:
    """Call what is due by `end`, which is now or a few seconds on."""
    for step, planned in coming(state):
        is_due = now.instant_of(planned.start) <= end
        if not is_due or rests.looks_after_itself(step) or not rests.is_clear(state, step):
            continue
        obstacles = in_the_way(state, step, now)
        if obstacles:
            state = _clear_the_way(state, step, obstacles[0], now)
        elif not _must_wait(state, step, now.instant_of(planned.start), now):
            state = _call(state, step, now)
    return state


def _clear_the_way(state: DinnerState, step: Step, first: Step, now: Now) -> DinnerState:
    """Where something is up and has its place still, the cook is told once, in its next reminder or now."""
    if state.state_of(first.id) is not StepState.UP or step.id in state.told_in_way:
        return state
    places = {use.equipment for use in step.uses}
    use = next(use for use in first.uses if use.equipment in places)
    text = wording.way_call(step, _short(state, first), use)
    state = replace(state, told_in_way=(*state.told_in_way, step.id))
    return calls.ask_again(moves.hear(state, first.id, is_heard=False), first.id, text, now)


def is_waiting_for_plan(state: DinnerState, now: Now) -> bool:
    """Whether a re-plan has been asked for and may still come."""
    asked = state.asked_plan_at
    return state.planned_revision < state.revision and asked is not None and now.instant < asked + PLAN_WAIT_S


def _must_wait(state: DinnerState, step: Step, due: Instant, now: Now) -> bool:
    if step.hands_s > 0 and now.instant < due + POLITE_S and hands_are_busy(state, step, now):
        return True
    # A ring that comes within moments takes the call along; it cannot come sooner itself.
    rings = (timer.due for timer in state.timers if timer.due is not None and not _is_silent(state, timer))
    return any(now.instant < ring <= due + repeats.TOGETHER_S for ring in rings)


def _is_silent(state: DinnerState, timer: Timer) -> bool:
    """Whether it counts down what kitchend put in itself, which ends without a word."""
    return timer.step is not None and state.step(timer.step).added


def _call(state: DinnerState, step: Step, now: Now) -> DinnerState:
    for earlier in _earlier_repeats(state, step):
        state = moves.drop(state, earlier.id, now) or state
    called = moves.call(state, step, now) or state
    for before in blockers(called, step):
        called = moves.hear(called, before.id)
    cook, hot = cook_of(state, step), just_hot(state, step, now)
    call = Call(
        kind=CallKind.NOW,
        text=wording.now_call(step, cook, hot=hot),
        short=wording.now_again(step, cook),
        least=_least(state, step),
        clause=wording_calls.now_clause(step, cook, hot=hot),
        at=now.instant,
        step=step.id,
        state=StepState.CALLED,
    )
    return calls.add(called, call)


def _earlier_repeats(state: DinnerState, step: Step) -> tuple[Step, ...]:
    """Repeats of the same reminder that were called and never answered: this one takes their place."""
    if step.every_s is None:
        return ()
    return tuple(
        other
        for other in steps_in(state, StepState.CALLED, StepState.ON)
        if other.during == step.during and other.name == step.name and other.id != step.id
    )


def _close(state: DinnerState, now: Now) -> DinnerState:
    """When the last step is done, say so; the dinner is served at the pass, or then if that is past.

    What was done may be taken back: then not all is done any more.
    """
    if state.plan is None or state.serve is None or state.served_at is not None:
        return state
    if unfinished(state):
        return _not_all_done(state, _last_words(state.serve)) if state.is_all_done else state
    if not state.is_all_done and now.wall + DRIFT_S < state.serve:
        call = Call(kind=CallKind.SOON, text=_last_words(state.serve), at=now.instant)
        return calls.add(replace(state, is_all_done=True), call)
    if now.wall < state.serve:
        return replace(state, is_all_done=True)
    late = now.wall - state.serve
    text = wording.say("serve", when=wording.said_wall(state.serve))
    if late >= DRIFT_S and not state.is_all_done:
        text = wording.say("served.late", late=wording.said_duration(late))
    served = now.wall if not state.is_all_done else state.serve
    call = Call(kind=CallKind.NOW, text=text, at=now.instant)
    return calls.add(replace(state, is_all_done=True, served_at=served), call)


def _not_all_done(state: DinnerState, last_words: str) -> DinnerState:
    still = tuple(call for call in state.waiting_calls if call.text != last_words)
    return replace(state, is_all_done=False, waiting_calls=still)


def _last_words(serve: WallTime) -> str:
    return wording.say("last", when=wording.said_wall(serve))


def has_drifted(state: DinnerState, now: Now) -> bool:
    """Whether something runs over its planned end by so much that the rest should be planned again."""
    return any(due <= now.instant for due in _drift_moments(state, now))


def _drift_moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When each thing going will have run over its planned end; never within `DRIFT_S` of planning."""
    if state.timeline is None or state.planned_at is None or state.planned_revision < state.revision:
        return ()
    found = []
    for step in steps_in(state, StepState.CALLED, StepState.ON, StepState.UP):
        planned = state.timeline.of(step.id)
        if planned is None:
            continue
        end = planned.start + step.hands_s if state.state_of(step.id) is StepState.CALLED else planned.end
        found.append(now.instant_of(end) + DRIFT_S)
    return tuple(max(moment, state.planned_at + DRIFT_S) for moment in found)


def next_wake(state: DinnerState, now: Now) -> Instant | None:
    """The next instant at which time alone will bring something; None when nothing is to come."""
    rung = _rung(state)
    rings = next_deadline(timer for timer in state.timers if timer.step is not None or timer.id not in rung)
    wakes = [
        rings,
        None if state.speaking is not None else repeats.next_repeat(state, now),
        state.window_until if state.window_until and state.window_until > now.instant else None,
        state.asked.lapses if state.asked else None,
        *forecasting.lapse_moments(state),
        *_drift_moments(state, now),
        *_coming_moments(state, now),
        *earlier_pass_moments(state, now),
        *safety.moments(state, now),
        *silence.moments(state, now),
        *hush.moments(state, now),
        *soon.moments(state, now),
        _pass_moment(state, now),
    ]
    moments = [moment for moment in wakes if moment is not None]
    earliest = now.instant + REST_S
    if rings is not None and now.instant < rings < earliest:
        return rings
    return max(min(moments), earliest) if moments else None


def _coming_moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When waiting steps become due; for one that is due but has to wait, when the waiting may be over."""
    found: list[Instant] = []
    for step, planned in coming(state):
        due = now.instant_of(planned.start)
        if due > now.instant:
            found.append(due)
        elif rests.is_clear(state, step):
            found.extend((due + POLITE_S, *hands_free_moments(state, now), *clear_moments(state, step, now)))
    if state.planned_revision < state.revision and state.asked_plan_at is not None:
        found.append(state.asked_plan_at + PLAN_WAIT_S)
    return tuple(moment for moment in found if moment > now.instant)


def _pass_moment(state: DinnerState, now: Now) -> Instant | None:
    if state.serve is None or state.served_at is not None or not state.is_all_done:
        return None
    return now.instant_of(state.serve)
