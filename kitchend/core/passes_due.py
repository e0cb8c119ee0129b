"""The earlier passes of a dinner that has several: each is called when its dishes are there and its time is.

The last pass ends the dinner and is not called here. One whose dishes were all dropped has nothing to call.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitchend.core import calls, wording
from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.effects import CallKind
from kitchend.core.pass_talk import passes_to_come
from kitchend.core.passes import Pass
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

LATE_S = 60.0
"""A pass called later than this says how late it is."""
DISHES_SAID = 4
"""More dishes than this are "everything"."""


def call_earlier_passes(state: DinnerState, now: Now) -> DinnerState:
    """The same state with every earlier pass called that is due; lateness told until then was its own."""
    for one, at in _ready(state):
        if at <= now.wall:
            state = replace(state, passes_called=(*state.passes_called, one.before_s), told_late_s=0)
            if _is_anything_left(state, one):
                call = Call(kind=CallKind.NOW, text=_said(one, at, now), at=now.instant)
                state = calls.add(state, call)
    return state


def earlier_pass_moments(state: DinnerState, now: Now) -> tuple[Instant, ...]:
    """When passes whose dishes are there already will be due."""
    return tuple(now.instant_of(at) for _, at in _ready(state))


def _ready(state: DinnerState) -> Iterator[tuple[Pass, WallTime]]:
    """The earlier passes to come of which every step has ended, and when they are."""
    if state.serve is None:
        return
    for one in passes_to_come(state):
        steps = [step for dish in one.dishes for step in dish.steps]
        if one.before_s > 0 and all(state.record_of(step.id).has_ended for step in steps):
            yield one, one.at(state.serve)


def _is_anything_left(state: DinnerState, one: Pass) -> bool:
    return any(state.state_of(step.id) is StepState.DONE for dish in one.dishes for step in dish.steps)


def _said(one: Pass, at: WallTime, now: Now) -> str:
    names = [dish.name for dish in one.dishes]
    dishes = wording.said_list(names) if len(names) <= DISHES_SAID else wording.say("everything")
    late = now.wall - at
    if late < LATE_S:
        return wording.say("serve.dishes", when=wording.said_wall(at), dishes=dishes)
    return wording.say("served.dishes.late", dishes=dishes, late=wording.said_duration(late))
