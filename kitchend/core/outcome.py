"""What came of a command: the new state, what to reply, what to order, whether to plan again.

A refusal is an outcome with the same state and at most a reply. Nothing is decided here.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.commands import Command
from kitchend.core.effects import Effect
from kitchend.core.state import DinnerState


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The result of one command. `what` names it for undo; None: nothing that could be taken back.

    `asks` is the question that `reply` answers.
    """

    state: DinnerState
    reply: str = ""
    effects: tuple[Effect, ...] = ()
    replans: bool = False
    what: str | None = None
    asks: Command | None = None


def refusal(state: DinnerState, reply: str = "") -> Outcome:
    """Nothing happens, and this is why."""
    return Outcome(state=state, reply=reply)
