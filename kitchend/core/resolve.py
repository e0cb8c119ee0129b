"""Which step a spoken name means right now: the naming rule and the ask-back.

A name may fit several steps. The one that waits for an answer wins when it is the only one; among several the
cook is asked. Without a name it is what was called last. Only looks, never moves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kitchend.core.commands import Said
from kitchend.core.names import meaning
from kitchend.core.plan import Step, StepId
from kitchend.core.progress import blockers, host_is_on
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a name fits: at most one step or timer, or several to ask about, or only what has ended."""

    step: Step | None = None
    timer: Timer | None = None
    several: tuple[Step, ...] = ()
    ended: tuple[Step, ...] = ()


def steps_named(state: DinnerState, name: str | None) -> tuple[Step, ...]:
    """All steps a name may mean, in order; None: those called last."""
    ids = state.last_called if name is None else meaning(name, state).steps
    found = [step for step in state.steps if step.id in ids]
    if not found and name is not None:
        equipment = meaning(name, state).equipment
        uses = [s for s in state.steps if s.added and any(use.equipment == equipment for use in s.uses)]
        found = uses if equipment is not None else []
    return tuple(found)


def timer_named(state: DinnerState, name: str | None) -> Timer | None:
    """The cook's own timer a name means; None as a name: the only one there is."""
    own = [timer for timer in state.timers if timer.step is None]
    if name is None:
        return own[0] if len(own) == 1 else None
    wanted = meaning(name, state).timer
    return next((timer for timer in own if timer.id == wanted or timer.name == name), None)


def is_answerable(state: DinnerState, step: Step) -> bool:
    """Whether kitchend waits for a word about this step: called, up, or on with hands only."""
    now = state.state_of(step.id)
    return now in (StepState.CALLED, StepState.UP) or (now is StepState.ON and step.is_hands_only)


def find_said(state: DinnerState, name: str | None, how: Said) -> Found:
    """The step that "greens", "greens are on" or "greens done" is about."""
    steps = steps_named(state, name)
    waiting = _firsts(state, [step for step in steps if is_answerable(state, step)])
    if waiting:
        return _one_of(_last_called_among(state, waiting))
    running = [step for step in steps if state.state_of(step.id) in (StepState.ON, StepState.HELD)]
    if running:
        return _one_of(running)
    ready = [step for step in steps if _may_start(state, step)]
    if ready:
        return Found(step=ready[0]) if how is Said.NAME or len(ready) == 1 else _one_of(ready)
    later = [step for step in steps if state.state_of(step.id) is StepState.WAITING]
    if later:
        return Found(step=later[0])
    return Found(ended=tuple(steps))


def find_running(state: DinnerState, name: str | None, wanted: Callable[[Step], bool]) -> Found:
    """The one step (or cook's timer) of this name that `wanted` accepts, to hold, give time or ask about."""
    steps = steps_named(state, name)
    fit = [step for step in steps if wanted(step)]
    if not fit and name is None:
        fit = [step for step in state.steps if wanted(step)]
    timer = timer_named(state, name)
    if timer is not None and (not fit or name is not None):
        return Found(timer=timer)
    if fit:
        return _one_of(fit)
    return Found(ended=tuple(steps))


def _one_of(steps: list[Step]) -> Found:
    return Found(step=steps[0]) if len(steps) == 1 else Found(several=tuple(steps))


def _firsts(state: DinnerState, steps: list[Step]) -> list[Step]:
    """Of repeats with one name only the earliest; a cook can't tell them apart."""
    seen: dict[tuple[str, str], Step] = {}
    for step in steps:
        seen.setdefault((step.dish, step.name), step)
    return list(seen.values())


def _last_called_among(state: DinnerState, steps: list[Step]) -> list[Step]:
    last: list[StepId] = [step_id for step_id in state.last_called if any(s.id == step_id for s in steps)]
    if len(steps) > 1 and len(last) == 1:
        return [step for step in steps if step.id == last[0]]
    return steps


def _may_start(state: DinnerState, step: Step) -> bool:
    is_waiting = state.state_of(step.id) is StepState.WAITING
    return is_waiting and host_is_on(state, step) and not blockers(state, step)
