"""Collecting everything that is wrong or doubtful in one file, so that a cook mends it in one go.

A Spot is a place in the file; a complaint joins it with words and a hint. Whatever a file holds, the words
come out as one printable line of bounded length.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from kitchend.core.wording import clause
from kitchend.errors import Problem

LONGEST_WORDS = 240
LONGEST_ECHO = 60
LONGEST_PATH = 400
"""Characters of a message, of a file's own text in it, and of a path: a few lines of a terminal at most."""

MOST_SEARCHES = 100
"""Looking for a like word costs time; a file with more to mend than this has one reason behind it all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place in a file, counted from 1. `field` is the way to it in names, `key` the last of them."""

    line: int
    column: int
    field: str = ""
    key: str = ""


class Complaints:
    """The problems and warnings of one file, as they are found."""

    def __init__(self, file: str) -> None:
        self.file = readable(file, LONGEST_PATH)
        self._problems: list[tuple[Spot, Problem]] = []
        self._warnings: list[tuple[Spot, Problem]] = []
        self._searches = 0

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What makes the file unusable, in the order of the file."""
        return _in_order(self._problems)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What is doubtful, in the order of the file."""
        return _in_order(self._warnings)

    def problem(self, spot: Spot, message: str, hint: str | None = None) -> None:
        """Note something that must be mended."""
        self._problems.append((spot, self._at(spot, message, hint)))

    def doubt(self, spot: Spot, message: str, hint: str | None = None) -> None:
        """Note something that may be meant so."""
        self._warnings.append((spot, self._at(spot, message, hint)))

    def has_trouble_with(self, *keys: str) -> bool:
        """Whether any problem lies in a key of this name, so that what depends on it can't be judged."""
        return any(spot.key in keys for spot, _ in self._problems)

    def suggestion(self, word: str, known: Iterable[str]) -> str:
        """ "did you mean hob?", or what there is to choose from; after many, only "check the spelling"."""
        self._searches += 1
        if self._searches > MOST_SEARCHES:
            return clause("wrong.spelling")
        choices = list(known)
        near = nearest(word, choices)
        if near:
            return clause("wrong.near", name=near)
        if not choices:
            return clause("wrong.none")
        return clause("wrong.known", names=readable(", ".join(choices), 160))

    def _at(self, spot: Spot, message: str, hint: str | None) -> Problem:
        return Problem(
            file=self.file,
            line=spot.line,
            column=spot.column,
            field=readable(spot.field),
            message=readable(message),
            hint=readable(hint) if hint else None,
        )


def _in_order(found: Iterable[tuple[Spot, Problem]]) -> tuple[Problem, ...]:
    return tuple(problem for _, problem in sorted(found, key=lambda item: (item[0].line, item[0].column)))


def readable(text: str, most: int = LONGEST_WORDS) -> str:
    """The text as one printable line of at most `most` characters."""
    clean = "".join(letter if letter.isprintable() else " " for letter in text[: most + 1])
    return clean if len(clean) <= most else f"{clean[: most - 3]}..."


def echo(text: str) -> str:
    """A piece of the file as it may stand in a message: one line, shortened."""
    return readable(" ".join(text.split()), LONGEST_ECHO)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that looks most like this one, or None if none looks much like it."""
    if len(word) > LONGEST_ECHO:
        return None
    shown = {one.casefold(): one for one in known}
    found = get_close_matches(word.casefold(), shown, n=1, cutoff=0.6)
    return shown[found[0]] if found else None
