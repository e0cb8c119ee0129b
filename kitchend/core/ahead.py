"""What kitchend is likely to say soon, so that a voice can have it ready: the sentences, the soonest first.

Guesses only: a sentence that comes out otherwise is made when it is due. Nothing is decided here.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core import repeats, wording
from kitchend.core.clock import Now
from kitchend.core.progress import coming, cook_of
from kitchend.core.state import DinnerState
from kitchend.core.wording_calls import soon_call

AHEAD_S = 600.0
MOST = 12
"""How many sentences are worth having ready."""


def expected(state: DinnerState, now: Now) -> tuple[str, ...]:
    """The calls that fall due within ten minutes, as they will be said if nothing changes."""
    soon = sorted((in_s, text) for in_s, text in _all(state, now) if in_s <= AHEAD_S)
    return tuple(dict.fromkeys(text for _, text in soon))[:MOST]


def _all(state: DinnerState, now: Now) -> Iterator[tuple[float, str]]:
    """Every sentence that may come, with the seconds till then."""
    for step, planned in coming(state):
        in_s = planned.start - now.wall
        yield in_s, wording.now_call(step, cook_of(state, step))
        if step.ready_s and step.id not in state.warned and in_s >= step.ready_s:
            yield in_s - step.ready_s, soon_call(step, cook_of(state, step), in_s=step.ready_s)
    for timer in state.timers:
        left_s = timer.remaining_s(now.instant)
        if timer.due is None or left_s <= 0:
            continue
        if timer.step is None:
            yield left_s, wording.timer_call(timer)
        elif not (step := state.step(timer.step)).added:
            yield left_s, wording.up_call(step, cook_of(state, step))
    for call in state.open_calls:
        if call.at is not None:
            yield call.at - now.instant, repeats.again(state, call, now).text
