"""A call that had to wait says how late it is by now; one that is said in time is as it was made.

Calls wait while kitchend speaks, keeps quiet or was away. Words only; what is due stands in `due`.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import wording, wording_calls
from kitchend.core.clock import Instant, Now
from kitchend.core.progress import cook_of
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

LATE_S = 1.0
"""A call for a cook's own timer that ran out longer ago than this says how long ago."""
STEP_LATE_S = 20.0
"""... and one for a step, whose call often waits for other words to be over, or to be said with another."""
NOW_LATE_S = 60.0
"""... and one for what is to be done now, which may wait a while for the hands as it is."""


def late_s(due: Instant | None, now: Now, bound_s: float = LATE_S) -> float:
    """How many seconds ago it was due, 0 where that is not worth a word."""
    late = 0.0 if due is None else now.instant - due
    return late if late > bound_s else 0.0


def as_late_as_now(state: DinnerState, call: Call, now: Now, bound_s: float = STEP_LATE_S) -> Call:
    """The call as late as it is by now; a repeat is said to be one already."""
    if call.again or call.at is None or now.instant - call.at <= bound_s:
        return call
    own = next((timer for timer in state.timers if timer.id == call.timer), None)
    if own is not None:
        late = late_s(own.due, now, bound_s)
        clause = wording_calls.timer_clause(own, late_s=late)
        return replace(call, text=wording.timer_call(own, late_s=late), clause=clause) if late else call
    step = next((step for step in state.steps if step.id == call.step), None)
    if step is None or state.plan is None:
        return call
    record, cook = state.record_of(step.id), cook_of(state, step)
    if call.state is StepState.UP and (late := late_s(record.up_at, now, bound_s)):
        clause = wording_calls.up_clause(step, late_s=late_beside(late, bound_s))
        return _later(call, wording.up_call(step, cook, late_s=late), clause)
    if call.state is StepState.CALLED and (late := late_s(record.called_at, now, NOW_LATE_S)):
        clause = wording_calls.now_clause(step, cook, late_s=late)
        return _later(call, wording.now_call(step, cook, late_s=late), clause)
    return call


def late_beside(late: float, bound_s: float = STEP_LATE_S) -> float:
    """The same beside other calls, where less than a minute is not worth a word unless kitchend was away."""
    return late if late >= NOW_LATE_S or bound_s < STEP_LATE_S else 0.0


def _later(call: Call, text: str, clause: str) -> Call:
    """With these words; what is no part of a sentence of several stays none."""
    return replace(call, text=text, clause=clause if call.clause else "")
