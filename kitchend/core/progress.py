"""How far along things are: when a step will end, what blocks it, what comes next. Questions only.

Everything here is derived from the state and the present; nothing is kept and nothing is moved. The planner,
the calls, the answers and the status all ask here, so that they never disagree.
"""

from __future__ import annotations

from kitchend.core.clock import Instant, Now
from kitchend.core.plan import Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.timers import timer_of_step

READING_GRACE_S = 120
"""How much longer, at the least, something lasts that ends by reading and has not been read done."""

ANSWERABLE = frozenset({StepState.CALLED, StepState.UP})
RUNNING = frozenset({StepState.ON, StepState.HELD})


def expected_end(state: DinnerState, step: Step, now: Now) -> Instant:
    """When a step that is on, held or up will end, as far as anyone can tell; never before now.

    On: the high end of its `takes` plus time given, counted from when it went on (its hands' share already
    spent), for what ends by reading never within `READING_GRACE_S` of now. Held: what is left, from now.
    """
    record = state.record_of(step.id)
    timer = timer_of_step(state.timers, step.id)
    if record.state is StepState.HELD and timer is not None:
        return now.instant + timer.remaining_s(now.instant) + timer.spread_s
    if record.state is StepState.ON and step.is_hands_only:
        began = record.called_at if record.called_at is not None else record.on_at
        return max(now.instant, (began or now.instant) + step.hands_s)
    if record.state is StepState.ON and timer is not None and timer.due is not None:
        end = timer.due + timer.spread_s
        grace = READING_GRACE_S if step.until is not None else 0
        return max(end, now.instant + grace)
    return now.instant


def unfinished(state: DinnerState) -> tuple[Step, ...]:
    """Steps of the plan that have not ended, in the plan's order."""
    steps = () if state.plan is None else state.plan.steps
    return tuple(step for step in steps if not state.record_of(step.id).has_ended)


def blockers(state: DinnerState, step: Step) -> tuple[Step, ...]:
    """The steps it waits for that have not ended."""
    return tuple(state.step(before) for before in step.after if not state.record_of(before).has_ended)


def host_is_on(state: DinnerState, step: Step) -> bool:
    """Whether a mid-step reminder's host is on; true for any other step."""
    return step.during is None or state.state_of(step.during) is StepState.ON


def hands_are_busy(state: DinnerState, step: Step, now: Now) -> bool:
    """Whether all hands are needed now, as far as answers tell, or those of the cook whose step it is."""
    busy = [one for one in state.steps if _needs_hands(state, one, now)]
    if len(busy) >= (state.plan.cooks if state.plan else 1):
        return True
    cook = cook_of(state, step)
    return bool(cook) and any(cook_of(state, one) == cook for one in busy)


def hands_free_moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When hands at work will be free again, where time alone tells; hands-only work ends with a word."""
    ends = (_hands_until(state, step) for step in state.steps if not _works_on(state, step))
    return tuple(end for end in ends if end is not None and end > now.instant)


def _needs_hands(state: DinnerState, step: Step, now: Now) -> bool:
    until = _hands_until(state, step)
    return _works_on(state, step) or (until is not None and until > now.instant)


def _works_on(state: DinnerState, step: Step) -> bool:
    return step.is_hands_only and state.state_of(step.id) is StepState.ON


def _hands_until(state: DinnerState, step: Step) -> Instant | None:
    """When the hands' share of a step that is called or on is over, going by its call."""
    record = state.record_of(step.id)
    if record.state not in (StepState.CALLED, StepState.ON):
        return None
    if record.called_at is not None:
        return record.called_at + step.hands_s
    return record.on_at


def cook_of(state: DinnerState, step: Step) -> str:
    """The name of the cook whose hands a step is planned for; empty where nobody needs telling apart."""
    plan, planned = state.plan, state.timeline.of(step.id) if state.timeline else None
    if plan is None or planned is None or step.hands_s == 0 or len(plan.cook_names) < 2:
        return ""
    return plan.cook_names[planned.cook] if planned.cook < len(plan.cook_names) else ""


def coming(state: DinnerState) -> tuple[tuple[Step, Planned], ...]:
    """Waiting steps of the timeline with their planned times, in the order of their starts."""
    if state.timeline is None:
        return ()
    known = {step.id: step for step in state.steps}
    waiting = [planned for planned in state.timeline.planned if _is_waiting(state, planned.step)]
    ordered = sorted(waiting, key=lambda planned: planned.start.epoch_s)
    return tuple((known[planned.step], planned) for planned in ordered if planned.step in known)


def _is_waiting(state: DinnerState, step_id: StepId) -> bool:
    return state.state_of(step_id) is StepState.WAITING


def steps_in(state: DinnerState, *states: StepState) -> tuple[Step, ...]:
    """Steps that stand in one of these states, in order."""
    return tuple(step for step in state.steps if state.state_of(step.id) in states)
