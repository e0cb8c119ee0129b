"""What looks after itself, such as a rest: it goes on when what it follows is over, without the cook.

It waits for its planned start only where what it follows keeps till then and it would itself stand too long.
Its time counts from when what it follows was over. Moves only such steps, and says nothing.
"""

from __future__ import annotations

from kitchend.core import moves
from kitchend.core.clock import Instant, Now
from kitchend.core.plan import Step
from kitchend.core.progress import blockers, host_is_on
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned


def looks_after_itself(step: Step) -> bool:
    """Whether nobody has to do anything for it to begin, such as a rest: no hands, no place to put it."""
    return step.hands_s == 0 and not step.uses and step.during is None and bool(step.after)


def is_clear(state: DinnerState, step: Step) -> bool:
    """Nothing it waits for is unfinished (what looks after itself counts as finished when it is up)."""
    left = [
        before
        for before in blockers(state, step)
        if not (looks_after_itself(before) and state.state_of(before.id) is StepState.UP)
    ]
    return not left and host_is_on(state, step)


def begin(state: DinnerState, now: Now) -> tuple[DinnerState, tuple[Step, ...]]:
    """Everything that goes on by itself by now, and which steps those are."""
    begun = []
    for step in state.steps:
        if not looks_after_itself(step) or state.state_of(step.id) is not StepState.WAITING:
            continue
        since = _since(state, step, now) if is_clear(state, step) else None
        if since is not None:
            begun.append(step)
            state = _begin(state, step, since, now)
    return state, tuple(begun)


def is_needed(state: DinnerState, step: Step) -> bool:
    """Whether something not yet over follows it."""
    return any(step.id in other.after and not state.record_of(other.id).has_ended for other in state.steps)


def _begin(state: DinnerState, step: Step, since: Instant, now: Now) -> DinnerState:
    for before in blockers(state, step):
        state = moves.finish(state, before.id, now) or state
    return moves.start(state, step, now, since=since) or state


def _since(state: DinnerState, step: Step, now: Now) -> Instant | None:
    """From when its time counts, if it goes on by now."""
    ended = _over_at(state, step)
    planned = state.timeline.of(step.id) if state.timeline is not None else None
    if ended is None or planned is None:
        return ended
    due = now.instant_of(planned.start)
    if due <= ended or _goes_on_at_once(state, step, planned, ended, now):
        return ended
    return due if due <= now.instant else None


def _over_at(state: DinnerState, step: Step) -> Instant | None:
    """When the last of what it follows was over; None if that was all left out."""
    records = [state.record_of(before) for before in step.after]
    ends = [record.up_at if record.state is StepState.UP else record.ended_at for record in records]
    is_left_out = all(record.state is StepState.DROPPED for record in records)
    known = [end for end in ends if end is not None]
    return None if is_left_out or not known else max(known, key=lambda end: end.s)


def _goes_on_at_once(state: DinnerState, step: Step, planned: Planned, ended: Instant, now: Now) -> bool:
    """Whether it would stand no longer than it keeps, or what it follows does not keep till it is planned."""
    wait_s = planned.start - now.wall_of(ended)
    befores = [state.step(before) for before in step.after]
    if any(before.keeps_s is not None and before.keeps_s < wait_s for before in befores):
        return True
    is_fresh = ended >= now.instant or all(looks_after_itself(before) for before in befores)
    return is_fresh and (step.keeps_s is None or wait_s + planned.stands_s <= step.keeps_s)
