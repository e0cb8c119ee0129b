"""A thermometer that falls silent in mid-dinner: told aloud once, and once more when it is back.

However its readings come, its silence looks the same: what came regularly comes no more, though what it is in
is still on. A cook's own words are no thermometer's and are not waited for. Decides nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitchend.core import calls, wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.core.forecasts import Probe
from kitchend.core.names import scale_of, short_name
from kitchend.core.progress import steps_in
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState

REGULAR = 3
"""So many readings make a thermometer whose next one is waited for."""
LEAST_S, PAUSES = 300.0, 5.0
"""It is silent after so many of its usual pauses, and no sooner than so long."""
SMOOTHING = 0.25


def read(state: DinnerState, of: str, celsius: float, now: Now) -> DinnerState:
    """The same state after a thermometer in `of` gave any reading; that it is back is told."""
    before = next((one for one in state.probes if one.of == of), None)
    others = tuple(one for one in state.probes if one.of != of)
    if before is None:
        return replace(state, probes=(*others, Probe(of=of, at=now.instant)))
    pause_s = now.instant - before.at
    usual_s = pause_s if before.every_s is None else before.every_s
    if not before.is_silent:
        usual_s += SMOOTHING * (pause_s - usual_s)
    probe = Probe(of=of, at=now.instant, every_s=usual_s, count=min(before.count + 1, REGULAR))
    state = replace(state, probes=(*others, probe))
    name = _name(state, of)
    if not before.is_silent or not name:
        return state
    said = wording.said_celsius(celsius, scale_of(state.plan))
    text = wording.say("probe.back", thing=name, degrees=said)
    return calls.add(state, Call(kind=CallKind.SOON, text=text, at=now.instant))


def mind(state: DinnerState, now: Now) -> DinnerState:
    """The same state with a call for each thermometer that has fallen silent."""
    for probe, due in _waited_for(state):
        if due > now.instant:
            continue
        others = tuple(one for one in state.probes if one is not probe)
        state = replace(state, probes=(*others, replace(probe, is_silent=True)))
        time = wording.said_duration(now.instant - probe.at)
        text = wording.say("probe.silent", thing=_name(state, probe.of), time=time)
        state = calls.add(state, Call(kind=CallKind.SOON, text=text, at=now.instant))
    return state


def moments(state: DinnerState, now: Now) -> Iterator[Instant]:
    """When time alone makes a thermometer a silent one."""
    return (due for _, due in _waited_for(state) if due > now.instant)


def picked_up(state: DinnerState, now: Now) -> DinnerState:
    """The same state after kitchend was away: nobody was silent meanwhile but itself."""
    return replace(state, probes=tuple(replace(one, at=now.instant) for one in state.probes))


def _waited_for(state: DinnerState) -> list[tuple[Probe, Instant]]:
    """Thermometers that gave readings regularly in what is still on, and when each counts as silent."""
    return [
        (one, one.at + max(LEAST_S, PAUSES * one.every_s))
        for one in state.probes
        if not one.is_silent and one.count >= REGULAR and one.every_s is not None and _name(state, one.of)
    ]


def _name(state: DinnerState, of: str) -> str:
    """What a thermometer is in as it is spoken, if that is on; else empty."""
    for step in steps_in(state, StepState.ON):
        if step.id == of and state.plan is not None:
            return short_name(step, state.plan)
        if any(use.equipment == of for use in step.uses) and state.plan is not None:
            return next((item.name for item in state.plan.equipment if item.id == of), "")
    return ""
