"""The life of a step: every pair of state and move against a table written out by hand."""

from __future__ import annotations

from itertools import product

import pytest

from kitchend.core.steps import ENDED, TRANSITIONS, StepMove, StepRecord, StepState, moved

ALLOWED = {
    "waiting": {"call": "called", "start": "on", "finish": "done", "drop": "dropped"},
    "called": {"start": "on", "finish": "done", "drop": "dropped"},
    "on": {"run out": "up", "finish": "done", "hold": "held", "drop": "dropped"},
    "up": {"more time": "on", "finish": "done", "drop": "dropped"},
    "held": {"carry on": "on", "finish": "done", "drop": "dropped"},
    "done": {},
    "dropped": {},
}


@pytest.mark.parametrize(
    ("state", "move"), list(product(StepState, StepMove)), ids=lambda value: str(value.value)
)
def test_every_pair_of_state_and_move_is_as_the_table_says(state: StepState, move: StepMove) -> None:
    to = ALLOWED[state.value].get(move.value)
    assert moved(state, move) == (StepState(to) if to else None)


def test_every_state_has_a_row_and_the_ended_ones_are_empty() -> None:
    assert set(TRANSITIONS) == set(StepState)
    assert {state for state, row in TRANSITIONS.items() if not row} == ENDED


def test_every_state_but_the_first_can_be_reached() -> None:
    reached = {to for row in TRANSITIONS.values() for to in row.values()}
    assert reached == set(StepState) - {StepState.WAITING}


@pytest.mark.parametrize("state", StepState)
def test_a_record_has_ended_exactly_when_its_state_is_terminal(state: StepState) -> None:
    assert StepRecord(state=state).has_ended is (state in ENDED)
