"""Whether there is room for a step: places in what it needs, and the heat of the oven.

What is on, held, or up and not yet taken out has its places; an oven holds one heat at a time, and one being
heated is not there yet. Says what stands in the way and when time alone may clear it; moves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.clock import Instant, Now
from kitchend.core.plan import EquipmentId, Step, StepId, Use, can_share
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import timer_of_step

IN_PLACE = frozenset({StepState.ON, StepState.HELD, StepState.UP})
JUST_HOT_S = 120.0
"""An oven that became hot no longer ago than this is news to what goes in."""


def in_the_way(state: DinnerState, step: Step, now: Now) -> tuple[Step, ...]:
    """What has to be out, or hot, before this step can go in; first what only has to be taken out."""
    found = [other for use in step.uses for other in _in_the_way(state, step, use, now)]
    unique = dict.fromkeys(found)
    return tuple(sorted(unique, key=lambda other: state.state_of(other.id) is not StepState.UP))


def clear_moments(state: DinnerState, step: Step, now: Now) -> tuple[Instant, ...]:
    """When heatings a step waits for will be over, by their clock or, not answered, by their call."""
    ends = (_heating_ends(state, other) for use in step.uses for other in _heatings(state, step, use))
    return tuple(end for end in ends if end is not None and end > now.instant)


def overtaken(state: DinnerState) -> tuple[StepId, ...]:
    """Heatings that are called or on while something stands in that oven at that heat: no news any more."""
    return tuple(
        heating.id
        for heating in state.steps
        if heating.added
        and state.state_of(heating.id) in (StepState.CALLED, StepState.ON)
        and any(_stands_in(state, heating, use) for use in heating.uses)
    )


def _stands_in(state: DinnerState, heating: Step, use: Use) -> bool:
    return any(
        own.places and own.at is not None and _can_share(own, use)
        for other in state.steps
        if not other.added
        for own in _own_uses(state, heating, other, use.equipment)
    )


def just_hot(state: DinnerState, step: Step, now: Now) -> EquipmentId | None:
    """The oven this step goes into, if it became hot just now and nothing has gone in since."""
    for use in step.uses:
        for heating in _heatings(state, step, use):
            ended = state.record_of(heating.id).ended_at
            is_done = state.state_of(heating.id) is StepState.DONE
            if is_done and ended is not None and now.instant - ended <= JUST_HOT_S:
                return None if _went_in_since(state, use, ended) else use.equipment
    return None


def _in_the_way(state: DinnerState, step: Step, use: Use, now: Now) -> Iterator[Step]:
    there = [(other, own) for other in state.steps for own in _own_uses(state, step, other, use.equipment)]
    places = _places(state, use.equipment)
    if use.places and sum(own.places for _, own in there) + min(use.places, places) > places:
        yield from (other for other, own in there if own.places)
    yield from (other for other, own in there if not other.added and not _can_share(use, own))
    for heating in _heatings(state, step, use):
        end = _heating_ends(state, heating)
        if end is not None and end > now.instant:
            yield heating


def _own_uses(state: DinnerState, step: Step, other: Step, equipment: EquipmentId) -> Iterator[Use]:
    """How another step that is in its place uses this equipment."""
    if other.id != step.id and state.state_of(other.id) in IN_PLACE:
        yield from (use for use in other.uses if use.equipment == equipment)


def _places(state: DinnerState, equipment: EquipmentId) -> int:
    known = state.plan.equipment if state.plan is not None else ()
    return {item.id: item.places for item in known}.get(equipment, 1)


def _can_share(one: Use, other: Use) -> bool:
    if one.at is None or other.at is None:
        return True
    return can_share(one.at.celsius, other.at.celsius)


def _heatings(state: DinnerState, step: Step, use: Use) -> Iterator[Step]:
    """The heatings kitchend put in that bring an oven to what a step of the plan needs."""
    if use.at is None or step.added:
        return
    for other in state.steps:
        if other.added and any(u.equipment == use.equipment and _can_share(u, use) for u in other.uses):
            yield other


def _heating_ends(state: DinnerState, heating: Step) -> Instant | None:
    """When a heating that is called or on is over; one that was called is taken to be on since."""
    record = state.record_of(heating.id)
    timer = timer_of_step(state.timers, heating.id)
    if record.state is StepState.ON and timer is not None:
        return timer.due
    if record.state is StepState.CALLED and record.called_at is not None:
        return record.called_at + heating.takes.high_s
    return None


def _went_in_since(state: DinnerState, use: Use, since: Instant) -> bool:
    """Whether something of the plan was called for this oven, or put in, after it became hot."""
    return any(
        moment >= since
        for other in state.steps
        if not other.added and any(own.equipment == use.equipment for own in other.uses)
        for moment in _begun(state, other)
    )


def _begun(state: DinnerState, step: Step) -> Iterator[Instant]:
    record = state.record_of(step.id)
    yield from (moment for moment in (record.called_at, record.on_at) if moment is not None)
