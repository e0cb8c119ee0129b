"""A number said on its own, as the answer to a question about one: what it then counts.

"Fifteen minutes?" is answered "fifty", "no, fifty" or "yes, fifteen". The words alone don't say whether they
count minutes or degrees or name a time of day: the command asked about does. Only reads, never decides
whether the number is a likely one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from enum import Enum

from kitchend.core import lexicons as lex
from kitchend.core.clock import TimeOfDay
from kitchend.core.commands import (
    AwaySaid,
    Command,
    GiveTime,
    MovePassBy,
    MovePassTo,
    NumberSaid,
    ReadingSaid,
    RemindIn,
    StartDinner,
    TimeNew,
)
from kitchend.core.grammar import Entry, Lexicon
from kitchend.core.numbers import count_texts, number_of
from kitchend.core.state import DinnerState
from kitchend.core.tongue import by_tongue, tongue


class Kind(Enum):
    """What a number counts."""

    MINUTES = "minutes"
    DEGREES = "degrees"
    CLOCK = "clock"


def kind_of(command: Command) -> Kind | None:
    """What the number in a command counts; None if it has none."""
    match command:
        case GiveTime() | TimeNew() | RemindIn() | MovePassBy() | AwaySaid():
            return Kind.MINUTES
        case ReadingSaid():
            return Kind.DEGREES
        case MovePassTo() | StartDinner(serve=TimeOfDay()):
            return Kind.CLOCK
        case _:
            return None


def asked_kind(state: DinnerState) -> Kind | None:
    """What kind of number the open question is about; None if it is about none."""
    if state.asked is not None and state.asked.yes is not None:
        return kind_of(state.asked.yes.command)
    return Kind.MINUTES if state.asked is None and state.unsure is not None else None


def answered(state: DinnerState, command: Command) -> Command:
    """The command, or for a lone number the one asked about with this number in it, if it fits."""
    if not isinstance(command, NumberSaid):
        return command
    if state.asked is None:
        seconds = seconds_of(command.words) if state.unsure is not None else None
        return command if seconds is None else AwaySaid(seconds=seconds)
    asked = None if state.asked.yes is None else state.asked.yes.command
    return command if asked is None else with_number(asked, command.words) or command


def with_number(command: Command, words: str) -> Command | None:
    """The command with another number; None if the words can't be its number."""
    match command:
        case GiveTime() | TimeNew() | RemindIn() | MovePassBy() | AwaySaid():
            seconds = seconds_of(words)
            sign = -1 if command.seconds < 0 else 1
            return None if seconds is None else replace(command, seconds=sign * seconds)
        case ReadingSaid():
            degrees = number_of(words)
            return None if degrees is None else replace(command, degrees=float(degrees))
        case MovePassTo():
            time = _times().get(words)
            return None if time is None else replace(command, time=time)
        case StartDinner():
            time = _times().get(words)
            return None if time is None else replace(command, serve=time)
        case _:
            return None


def seconds_of(words: str) -> int | None:
    """How long "fifty", "fifty minutes" or "half an hour" is; None if it is no duration."""
    number = number_of(words)
    return _seconds().get(words) if number is None else 60 * number or None


@by_tongue
def _seconds() -> Mapping[str, int]:
    return {entry.text: int(str(entry.value)) for entry in lex.durations(True).entries}


@by_tongue
def _times() -> Mapping[str, TimeOfDay]:
    times = lex.clock(True).entries
    return {entry.text: entry.value for entry in times if isinstance(entry.value, TimeOfDay)}


def amounts(kind: Kind | None, likely: Mapping[str, Lexicon]) -> dict[str, Lexicon]:
    """The lexicons of what may be said on its own where a number of this kind was asked about."""
    sources: dict[Kind | None, tuple[str, ...]] = {
        Kind.MINUTES: ("count", "minutes"),
        Kind.DEGREES: ("core_degrees", "heated_degrees"),
        Kind.CLOCK: ("clock",),
    }
    entries = [entry for name in sources.get(kind, ()) if name in likely for entry in likely[name].entries]
    if kind is Kind.MINUTES:  # counts are of more than one: "a minute", but "How many?" - "one"
        entries += [Entry(text, 60) for text in count_texts(1)]
    return _valued(entries, entries if kind is Kind.DEGREES else [])


@by_tongue
def all_amounts() -> dict[str, Lexicon]:
    """The lexicons of every number, duration and time of day."""
    numbers = lex.all_numbers().entries
    return _valued([*numbers, *lex.durations(True).entries, *lex.clock(True).entries], numbers)


def _valued(entries: Iterable[Entry], of_degrees: Iterable[Entry]) -> dict[str, Lexicon]:
    """Numbers, each its own value, alone and with "degrees" after those that can have it."""
    plain = [Entry(entry.text, entry.text, entry.weight) for entry in entries]
    with_unit = tongue().things.with_unit
    degrees = [Entry(with_unit(entry.text), entry.text, entry.weight / 2) for entry in of_degrees]
    return {"amount": Lexicon(plain), "amount_and_unit": Lexicon([*plain, *degrees])}
