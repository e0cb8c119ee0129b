"""Recognised or typed text -> Command or Unclear, read with the full phrasebook whatever the state.

Which step a name means, and whether it may be done, is for the dinner. Any text gives a value, never an
exception. Digits, units and signs of typed lines are turned into the words the phrasebook knows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitchend.core.commands import (
    AwaySaid,
    Command,
    GiveTime,
    MovePassBy,
    ReadingSaid,
    RemindIn,
    Said,
    StepSaid,
    TimeNew,
    Unclear,
)
from kitchend.core.grammar import Heard
from kitchend.core.names import spoken
from kitchend.core.phrases import full_book, without_address
from kitchend.core.state import DinnerState
from kitchend.core.tongue import of_state, tongue

MOST_WORDS, MOST_UNITS = 40, 120
"""No command is longer, in words or in syllables; what is longer is chatter and is not read at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """What a text means, and whether it began with the address phrase."""

    command: Command | Unclear
    is_addressed: bool


@of_state
def understand(text: str, state: DinnerState) -> Understood:
    """What a text means to this dinner; Unclear when it fits nothing that can be said about it."""
    heard, is_addressed = without_address(Heard.of(words_of_text(text)), spoken(state.manners.address))
    return Understood(command=_command(heard, text, state), is_addressed=is_addressed)


def _command(heard: Heard, text: str, state: DinnerState) -> Command | Unclear:
    if not heard.bare or len(heard.words) > MOST_WORDS or len(heard.bare) > MOST_UNITS:
        return Unclear(text=text)
    book = full_book(state)
    typed = tongue().typed
    busy = " ".join(word for word in heard.words if word not in typed.IDLE)
    for words in dict.fromkeys((heard, Heard.of(busy), Heard.of(typed.in_full(busy)))):
        found = next(book.readings(words), None)
        if found is not None:
            return found
    return Unclear(text=text)


def words_of_text(text: str) -> str:
    """A line as the words that would be said for it: "5 min" is "five minutes", "7:30" is "seven thirty"."""
    return spoken(tongue().typed.words_of_line(text.lower()))


def intent_name(command: Command | Unclear) -> str:
    """The command's name for other programs: heard, step, start, finish, time_left, …"""
    if isinstance(command, StepSaid):
        return {Said.NAME: "step", Said.ON: "start", Said.DONE: "finish"}[command.how]
    return _NAMES[type(command).__name__]


_NAMES = {
    "HeardIt": "heard",
    "AskTimeLeft": "time_left",
    "AskNext": "next",
    "AskOn": "what_is_on",
    "AskPass": "pass",
    "AskOnTime": "on_time",
    "AskMissed": "missed",
    "SayAgain": "say_again",
    "GiveTime": "give_time",
    "Hold": "hold",
    "CarryOn": "carry_on",
    "Drop": "drop",
    "TimeNew": "time_new",
    "RemindIn": "remind",
    "RemindAt": "remind",
    "ReadingSaid": "reading",
    "StartDinner": "start_dinner",
    "MovePassBy": "move_pass",
    "MovePassTo": "move_pass",
    "Undo": "undo",
    "Quiet": "quiet",
    "Louder": "loudness",
    "Whisper": "whisper",
    "QuietFor": "quiet_for",
    "AwaySaid": "away",
    "LetIn": "let_in",
    "Yes": "yes",
    "No": "no",
    "Pick": "pick",
    "NumberSaid": "number",
    "Unclear": "unclear",
}


def slots(command: Command | Unclear) -> Mapping[str, str | float | None]:
    """The command's name, minutes and degrees for other programs; None where it has none."""
    minutes = degrees = None
    if isinstance(command, GiveTime | MovePassBy | TimeNew | RemindIn | AwaySaid):
        minutes = command.seconds / 60
    if isinstance(command, ReadingSaid):
        degrees = command.degrees
    return {"step": getattr(command, "name", None), "minutes": minutes, "degrees": degrees}
