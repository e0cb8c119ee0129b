"""How the made-up cook answers what kitchend asks: so that what was wanted comes true, and nothing else."""

from __future__ import annotations

from kitchend.core.commands import Command, StepSaid
from kitchend.core.intents import understand
from kitchend.core.names import meaning
from kitchend.core.state import Asked, DinnerState
from kitchend.rehearsal.wishes import Wish, ways


def answer_to(asked: Asked, wish: Wish | None, state: DinnerState) -> str:
    """The words that make the wish come true; no, when the question is about something else."""
    if wish is None:
        return ways("no")[0]
    fits = [choice for choice in asked.choices if choice.step is not None and choice.step == wish.step]
    if fits:
        return fits[0].name
    is_yes = asked.yes is not None and is_meant(asked.yes.command, wish, state)
    return ways("yes" if is_yes else "no")[0]


def is_meant(command: Command, wish: Wish, state: DinnerState) -> bool:
    """Whether a command is what the wish's words stand for, or moves the step it is about."""
    if isinstance(command, StepSaid) and command.name is not None and wish.step is not None:
        return wish.step in meaning(command.name, state).steps
    return any(understand(way, state).command == command for way in wish.ways)
