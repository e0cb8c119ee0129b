"""What a reading that no person spoke is of: the step or the equipment its name means just now.

A thermometer names what it is in for as long as it is plugged in, and the dinner moves on under it: the same
name is the roasting first and the resting later. Only looks, never moves; a name that fits nothing that goes
on is a value (`Unwanted`), for it is no error that a probe lies in a drawer.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from kitchend.core.names import meaning
from kitchend.core.plan import Step
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState

HOT = frozenset({StepState.ON, StepState.HELD})
GOING = HOT | {StepState.UP}


class Unwanted(Enum):
    """Why a reading has no place in the dinner just now."""

    NO_DINNER = "no dinner"
    UNKNOWN = "unknown"
    NOT_ON = "not on"
    SEVERAL = "several"


def measured(state: DinnerState, of: str) -> str | Unwanted:
    """The id of the step or equipment that `of` (an id, or any name a cook would say) means now.

    Steps that are on and end by reading come first, then those that have come up, then what else goes on.
    """
    if state.plan is None:
        return Unwanted.NO_DINNER
    steps, equipment = _meant(state, of)
    for group in _by_rank(state, steps):
        if len(group) > 1:
            return Unwanted.SEVERAL
        if group:
            return str(group[0].id)
    if equipment is not None:
        return equipment
    return Unwanted.NOT_ON if steps else Unwanted.UNKNOWN


def _meant(state: DinnerState, of: str) -> tuple[list[Step], str | None]:
    """The steps and the equipment of this id or name."""
    own = [step for step in state.steps if step.id == of]
    if own:
        return own, None
    found = meaning(of, state)
    items = state.plan.equipment if state.plan is not None else ()
    named = next((str(item.id) for item in items if item.id in (of, found.equipment)), None)
    return [step for step in state.steps if step.id in found.steps], named


def _by_rank(state: DinnerState, steps: list[Step]) -> Iterator[list[Step]]:
    going = [step for step in steps if state.state_of(step.id) in GOING]
    ending = [step for step in going if step.until is not None]
    yield [step for step in ending if state.state_of(step.id) in HOT]
    yield ending
    yield going
