"""Warnings: what the cook has to get ready for, said once, two minutes ahead or as the plan has it. Few.

A warning asks for nothing: it is not repeated, and goes unsaid once the step is called or on. Where the plan
says nothing (`ready`) there is one after a long quiet, when the cook is likely away, and where something has
to leave its place first. Moves no step.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import calls, hush, repeats, wording_calls
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.names import short_name
from kitchend.core.plan import Step
from kitchend.core.progress import blockers, coming, cook_of, hands_are_busy, host_is_on
from kitchend.core.room import in_the_way
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.timers import Timer, timer_of_step

AHEAD_S = 120
"""How long before a step its warning comes, where the plan does not say."""
LATEST_S = 45.0
"""Nearer than this, or than half the time to get ready, the call itself is as good."""
AWAY_S, FETCHING_AWAY_S = 1200.0, 600.0
"""After so long without a word the cook is likely away; the second where things must be fetched."""
FETCHING_S = 300
"""A dish's first work of at least so long needs things fetched; so does what is raw."""


def warn(state: DinnerState, now: Now) -> DinnerState:
    """The same state with the warnings that are due by now."""
    for step, planned in coming(state):
        in_s = planned.start - now.wall
        ahead_s = _ahead_s(state, step, planned, now)
        if step.id in state.warned or not ahead_s or in_s < min(LATEST_S, ahead_s / 2):
            continue
        if in_s > ahead_s + repeats.RUSH_TOGETHER_S:
            continue  # too far off for any company, and to look for some
        if (
            in_s <= ahead_s + _early_s(state, now)
            and _is_sure(state, step, planned, now)
            and not _waits(state, in_s, now)
        ):
            call = warning(state, step, planned, now)
            state = calls.add(replace(state, warned=(*state.warned, step.id)), call)
    return state


def moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When warnings fall due."""
    ahead = (
        (planned, step.ready_s if step.ready_s is not None else AHEAD_S)
        for step, planned in coming(state)
        if step.id not in state.warned
    )
    due = [now.instant_of(planned.start) - by_s for planned, by_s in ahead if by_s]
    later = [at + repeats.TOGETHER_S for at in due]
    # Within the time for warning it may turn out that the cook is away.
    away = [_away_from(state, quiet_s) for quiet_s in (FETCHING_AWAY_S, AWAY_S)] if due else []
    calm = [repeats.calm_at(state, now)] if due else []
    return tuple(at for at in (*due, *later, *away, *calm) if at is not None and at > now.instant)


def _early_s(state: DinnerState, now: Now) -> float:
    """How much sooner it may come where there is another call to go along with."""
    return repeats.reach_s(state, now) if _is_said(state, now) else 0.0


def _is_said(state: DinnerState, now: Now) -> bool:
    """Whether another call is said by now; one that itself waits for its time takes none along yet."""
    return any(call.kind is not CallKind.REPLY for call in hush.may_be_said(state, now))


def _waits(state: DinnerState, in_s: float, now: Now) -> bool:
    """Whether it is better said with a call that comes within moments, or not at all in a rush."""
    if _is_said(state, now):
        return False
    if len(repeats.lately(state, now, is_call=False)) >= repeats.CROWD:
        return True
    starts = (planned.start - now.wall for _, planned in coming(state))
    rings = (timer.due - now.instant for timer in state.timers if timer.due is not None)
    near = any(0 < at <= repeats.TOGETHER_S for at in (*starts, *rings))
    return near and in_s - repeats.TOGETHER_S >= LATEST_S


def _ahead_s(state: DinnerState, step: Step, planned: Planned, now: Now) -> float:
    """How long before its start the cook is warned; 0: not at all."""
    if step.ready_s is not None:
        return step.ready_s
    if not step.hands_s or step.during is not None or step.added:
        return 0
    return AHEAD_S if _is_away(state, step, now) or _has_to_leave(state, step, planned, now) else 0


def _is_away(state: DinnerState, step: Step, now: Now) -> bool:
    """Whether nothing was said for so long that the cook is likely out of the room."""
    is_first = not step.after and step.hands_s >= FETCHING_S
    away = _away_from(state, FETCHING_AWAY_S if is_first or step.raw else AWAY_S)
    return away is not None and now.instant >= away and not hands_are_busy(state, step, now)


def _away_from(state: DinnerState, quiet_s: float) -> Instant | None:
    """When it will have been quiet for so long; None before the first word."""
    if state.window_until is None:
        return None
    return state.window_until + (quiet_s - state.manners.window_s)


def _has_to_leave(state: DinnerState, step: Step, planned: Planned, now: Now) -> Step | None:
    """What is in its place still, and will be up by the time it is due."""
    for other in in_the_way(state, step, now):
        timer = timer_of_step(state.timers, other.id)
        is_its_own = other.added or other.dish == step.dish or other.id in step.after
        if not is_its_own and timer is not None and _is_over_by(timer, planned, now):
            return other
    return None


def _is_over_by(timer: Timer, planned: Planned, now: Now) -> bool:
    due = now.instant_of(planned.start) + repeats.TOGETHER_S
    return not timer.spread_s and timer.due is not None and timer.due <= due


def _is_sure(state: DinnerState, step: Step, planned: Planned, now: Now) -> bool:
    """Whether all it waits for is as good as over: up, at hand, or on with a time that is no guess."""
    for before in blockers(state, step):
        timer, at = timer_of_step(state.timers, before.id), state.state_of(before.id)
        is_timed = timer is not None and before.until is None and _is_over_by(timer, planned, now)
        is_at_hand = before.is_hands_only and at is StepState.ON
        if at is not StepState.UP and not is_at_hand and not is_timed:
            return False
    return host_is_on(state, step)


def warning(state: DinnerState, step: Step, planned: Planned, now: Now) -> Call:
    """The warning of this step, counted from now."""
    cook, in_s = cook_of(state, step), planned.start - now.wall
    leaves = _has_to_leave(state, step, planned, now)
    out = None if leaves is None or state.plan is None else short_name(leaves, state.plan)
    return Call(
        kind=CallKind.SOON,
        text=wording_calls.soon_call(step, cook, in_s=in_s, out=out),
        clause=wording_calls.soon_clause(step, cook, in_s=in_s),
        at=now.instant,
        step=step.id,
        state=StepState.WAITING,
    )
