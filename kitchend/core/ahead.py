"""What kitchend is likely to say soon, so that a voice can have it ready: the sentences, the soonest first.

Guesses only: a sentence that comes out otherwise is made when it is due. Nothing is decided here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from kitchend.core import repeats, wording
from kitchend.core.clock import Now
from kitchend.core.progress import coming, cook_of
from kitchend.core.state import Call, DinnerState
from kitchend.core.wording_calls import soon_call

Worded = Callable[[], str]

AHEAD_S = 600.0
MOST = 12
"""How many sentences are worth having ready."""


def expected(state: DinnerState, now: Now) -> tuple[str, ...]:
    """The calls that fall due within ten minutes, as they will be said if nothing changes."""
    soon = sorted((each for each in _all(state, now) if each[0] <= AHEAD_S), key=lambda each: each[0])
    texts: dict[str, None] = {}
    for _, worded in soon:
        texts.setdefault(worded())
        if len(texts) == MOST:
            break
    return tuple(texts)


def _all(state: DinnerState, now: Now) -> Iterator[tuple[float, Worded]]:
    """Every sentence that may come, with the seconds till then; put into words only if it is wanted."""
    for step, planned in coming(state):
        in_s = planned.start - now.wall
        yield in_s, partial(wording.now_call, step, cook_of(state, step))
        if step.ready_s and step.id not in state.warned and in_s >= step.ready_s:
            yield in_s - step.ready_s, partial(soon_call, step, cook_of(state, step), in_s=step.ready_s)
    for timer in state.timers:
        left_s = timer.remaining_s(now.instant)
        if timer.due is None or left_s <= 0:
            continue
        if timer.step is None:
            yield left_s, partial(wording.timer_call, timer)
        elif not (step := state.step(timer.step)).added:
            yield left_s, partial(wording.up_call, step, cook_of(state, step))
    for call in state.open_calls:
        if call.at is not None:
            yield call.at - now.instant, partial(_again, state, call, now)


def _again(state: DinnerState, call: Call, now: Now) -> str:
    return repeats.again(state, call, now).text
