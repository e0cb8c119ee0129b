"""The life of one step: its states and ONE transition table.

Everything that moves a step goes through `moved`. A pair that is not in the table is refused with None and
changes nothing. `done` and `dropped` are terminal and keep an empty row. What a move means for timers, calls
and other steps is decided elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import Instant


class StepState(Enum):
    """Where a step is in its life."""

    WAITING = "waiting"
    CALLED = "called"
    ON = "on"
    UP = "up"
    HELD = "held"
    DONE = "done"
    DROPPED = "dropped"


class StepMove(Enum):
    """What may happen to a step."""

    CALL = "call"
    START = "start"
    RUN_OUT = "run out"
    MORE_TIME = "more time"
    FINISH = "finish"
    HOLD = "hold"
    CARRY_ON = "carry on"
    DROP = "drop"


_S, _M = StepState, StepMove

TRANSITIONS: Mapping[StepState, Mapping[StepMove, StepState]] = {
    _S.WAITING: {_M.CALL: _S.CALLED, _M.START: _S.ON, _M.FINISH: _S.DONE, _M.DROP: _S.DROPPED},
    _S.CALLED: {_M.START: _S.ON, _M.FINISH: _S.DONE, _M.DROP: _S.DROPPED},
    _S.ON: {_M.RUN_OUT: _S.UP, _M.FINISH: _S.DONE, _M.HOLD: _S.HELD, _M.DROP: _S.DROPPED},
    _S.UP: {_M.FINISH: _S.DONE, _M.MORE_TIME: _S.ON, _M.DROP: _S.DROPPED},
    _S.HELD: {_M.CARRY_ON: _S.ON, _M.FINISH: _S.DONE, _M.DROP: _S.DROPPED},
    _S.DONE: {},
    _S.DROPPED: {},
}

ENDED = frozenset({StepState.DONE, StepState.DROPPED})


def moved(state: StepState, move: StepMove) -> StepState | None:
    """The state after `move`, or None if the table has no such move."""
    return TRANSITIONS[state].get(move)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRecord:
    """What has happened to one step so far.

    `called_at`, `on_at`, `up_at`, `ended_at` are when it entered these states (None: not yet). `is_heard` is
    whether the call it waits on was acknowledged. `given_s` is time the cook gave (below zero: took).
    `checks` counts how often the cook was asked to look while it was on.
    """

    state: StepState = StepState.WAITING
    called_at: Instant | None = None
    on_at: Instant | None = None
    up_at: Instant | None = None
    ended_at: Instant | None = None
    is_heard: bool = False
    given_s: int = 0
    checks: int = 0

    @property
    def has_ended(self) -> bool:
        """Whether it is done or dropped."""
        return self.state in ENDED
