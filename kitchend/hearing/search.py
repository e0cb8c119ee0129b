"""The commands of a grammar that come nearest to what was heard: an exact search of its network.

What was heard is a text, compared letter by letter, or a sound, compared phone by phone (`sounding`). The
cost of a command is the cheapest way to have it of what was heard, plus how unlikely the grammar holds it to
be. A pass from the end finds what every state still costs at best; with that as its guide a search from the
start gives the commands in order, cheapest first, and misses none. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, groupby
from math import log
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.letters import letters_of
from kitchend.hearing.ports import Network

Floats = NDArray[np.float32]

EXTRA, LACKING, OTHER, NEAR = 1.0, 1.0, 1.2, 0.6
"""What a letter costs that was not heard, was not meant, is another one, or one that sounds alike."""
UNLIKELY = 0.35
"""What a command costs for being unlikely, by the natural logarithm of its share."""

_ALIKE = ("aeiou", "iyj", "bp", "dt", "gkcq", "szcx", "fv", "mn", "wu", "lr", "oau", "th", "vw")
_FAR = np.float32(1e6)


def _letter(letter: str) -> int:
    return ord(letter) - 96 if "a" <= letter <= "z" else 0


Units = tuple[int, ...]
"""A word in what it is compared by: letters or phones."""


def by_letters(word: str) -> tuple[Units, ...]:
    """The one way a word is spelled."""
    return (tuple(map(_letter, letters_of(word))),)


class Measured(Protocol):
    """What was heard, as ways of a grammar are measured against it.

    A place is a border in it: between two letters, or two frames of sound. The rows of `paid` are ways, its
    columns places; what is put into it changes it.
    """

    @property
    def start(self) -> Floats:
        """float32[places]: what is paid at each place before anything was said."""

    @property
    def left(self) -> Floats:
        """float32[places]: what is to pay from each place on if nothing more is said."""

    def put_before(self, paid: Floats, units: NDArray[np.int64]) -> None:
        """What was to pay after these units is now what is to pay with them in front."""

    def put_after(self, paid: Floats, units: NDArray[np.int64]) -> None:
        """What was paid before these units is now what is paid with them behind."""

    def skip_back(self, paid: Floats) -> None:
        """Let any part of what was heard be passed over in front of a word."""

    def skip_on(self, paid: Floats) -> None:
        """Let any part of what was heard be passed over after a word."""


def _costs() -> Floats:
    """float32[27, 27]: what one letter costs for another; 0 stands for every other sign."""
    table = np.full((27, 27), OTHER, np.float32)
    for group in _ALIKE:
        numbers = [_letter(letter) for letter in group]
        table[np.ix_(numbers, numbers)] = NEAR
    np.fill_diagonal(table, 0.0)
    return table


_COSTS = _costs()


@dataclass(frozen=True, slots=True)
class _Ways:
    """Some arcs side by side, longest word first: targets, costs for being unlikely, and their words.

    `units` holds, from the last unit of the words to the first, those of the words that are so long.
    """

    targets: NDArray[np.int64]
    costs: Floats
    units: tuple[NDArray[np.int64], ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Level:
    """States that lead to earlier levels only; `order` puts their ways state by state, from `starts` on."""

    states: NDArray[np.int64]
    starts: NDArray[np.int64]
    order: NDArray[np.int64]
    ways: _Ways


_Way = tuple[int, float, str, Units]


class Searchable:
    """A network laid out for searching; made once for a grammar.

    `ways_of` gives the ways a word is compared, `unlikely` what a command costs for being unlikely, by the
    natural logarithm of its share.
    """

    def __init__(
        self,
        network: Network,
        ways_of: Callable[[str], Sequence[Units]] = by_letters,
        unlikely: float = UNLIKELY,
    ) -> None:
        by_source: dict[int, list[_Way]] = {}
        for arc in network.arcs:
            cost = -unlikely * log(arc.share)
            for units in ways_of(arc.word) if arc.word else ((),):
                by_source.setdefault(arc.source, []).append((arc.target, cost, arc.word or "", units))
        self.unlikely = unlikely
        self.final = network.final
        self._by_source = by_source
        self._onward: dict[int, _Ways] = {}
        self._levels = tuple(_levels(by_source, network.final))

    def holds(self, text: str) -> bool:
        """Whether it is a command to the letter."""
        places = self._with_silent({0})
        for word in text.split():
            steps = (
                (target, way) for place in places for target, _, way, _ in self._by_source.get(place, ())
            )
            places = self._with_silent({target for target, way in steps if way == word})
        return self.final in places

    def _with_silent(self, places: set[int]) -> set[int]:
        """These states and those reached from them without a word."""
        new = list(places)
        while new:
            for target, _, word, _ in self._by_source.get(new.pop(), ()):
                if not word and target not in places:
                    places.add(target)
                    new.append(target)
        return places

    def onward(self, state: int) -> _Ways:
        """The ways on from a state."""
        if state not in self._onward:
            self._onward[state] = _ways(self._by_source[state])[0]
        return self._onward[state]

    def rests(self, heard: Measured) -> Floats:
        """float32[states, places]: what is still to pay at best from a state and a place on."""
        found = np.full((self.final + 1, len(heard.left)), _FAR, np.float32)
        found[self.final] = heard.left
        for level in self._levels:
            ways = level.ways
            paid = found[ways.targets]
            for units in ways.units:
                heard.put_before(paid[: len(units)], units)
            heard.skip_back(paid)
            paid += ways.costs[:, None]
            found[level.states] = np.minimum.reduceat(paid[level.order], level.starts, axis=0)
        return found


def _ways(ways: Sequence[_Way]) -> tuple[_Ways, list[int]]:
    """The ways, longest word first, and where each of those given went."""
    order = sorted(range(len(ways)), key=lambda i: -len(ways[i][3]))
    listed = [ways[i] for i in order]
    units = tuple(
        np.array([way[3][-1 - place] for way in listed if len(way[3]) > place], np.int64)
        for place in range(len(listed[0][3]))
    )
    targets = np.array([way[0] for way in listed], np.int64)
    costs = np.array([way[1] for way in listed], np.float32)
    went = sorted(range(len(order)), key=order.__getitem__)
    return _Ways(targets, costs, units, tuple(way[2] for way in listed)), went


def _levels(by_source: dict[int, list[_Way]], final: int) -> Iterator[_Level]:
    depth = {final: 0}
    for state in sorted(by_source, reverse=True):  # arcs lead to higher numbers only
        depth[state] = 1 + max(depth[way[0]] for way in by_source[state])
    ordered = sorted(by_source, key=lambda state: depth[state])
    for _, group in groupby(ordered, key=lambda state: depth[state]):
        states = list(group)
        counts = [len(by_source[state]) for state in states]
        ways, went = _ways([way for state in states for way in by_source[state]])
        yield _Level(np.array(states), np.cumsum([0, *counts[:-1]]), np.array(went), ways)


class _Spelled:
    """A heard text, Measured: letters without spaces."""

    def __init__(self, text: str) -> None:
        row = [_letter(letter) for letter in letters_of(text) if letter.isalnum()]
        self._other = np.ascontiguousarray(_COSTS[:, row])
        self.start = (np.arange(len(row) + 1) * LACKING).astype(np.float32)
        self.left = self.start[::-1].copy()

    def put_before(self, paid: Floats, units: NDArray[np.int64]) -> None:
        meant = paid[:, 1:] + self._other[units]
        paid += np.float32(EXTRA)
        np.minimum(paid[:, :-1], meant, out=paid[:, :-1])

    def put_after(self, paid: Floats, units: NDArray[np.int64]) -> None:
        meant = paid[:, :-1] + self._other[units]
        paid += np.float32(EXTRA)
        np.minimum(paid[:, 1:], meant, out=paid[:, 1:])

    def skip_back(self, paid: Floats) -> None:
        paid += self.start
        np.minimum.accumulate(paid[:, ::-1], axis=1, out=paid[:, ::-1])
        paid -= self.start

    def skip_on(self, paid: Floats) -> None:
        paid -= self.start
        np.minimum.accumulate(paid, axis=-1, out=paid)
        paid += self.start


@dataclass(frozen=True, slots=True)
class Found:
    """A command with its cost, and the natural logarithm of its share in the grammar."""

    text: str
    cost: float
    log_share: float


def nearest(grammar: Searchable, heard: str) -> Iterator[Found]:
    """Every command of the grammar, those spelled most like a text first; nothing where nothing was heard."""
    return nearest_to(grammar, _Spelled(heard)) if any(map(str.isalnum, heard)) else iter(())


def nearest_to(grammar: Searchable, heard: Measured) -> Iterator[Found]:
    """Every command of the grammar, cheapest first; once for each way its words are compared."""
    rests = grammar.rests(heard)
    turn = count()
    waiting: list[tuple[float, int, int, str, float, Floats]] = [(0.0, next(turn), 0, "", 0.0, heard.start)]
    while waiting:
        cost, _, state, text, unlikely, paid = heappop(waiting)
        if state == grammar.final:
            yield Found(text, cost, -unlikely / grammar.unlikely)
            continue
        ways = grammar.onward(state)
        after = np.repeat(paid[None], len(ways.words), axis=0)
        heard.skip_on(after)
        for units in reversed(ways.units):
            heard.put_after(after[: len(units)], units)
        totals = (after + rests[ways.targets]).min(axis=1) + ways.costs + np.float32(unlikely)
        for number, word in enumerate(ways.words):
            longer = f"{text} {word}" if text and word else text or word
            so_far = unlikely + float(ways.costs[number])
            place = (float(totals[number]), next(turn), int(ways.targets[number]), longer, so_far)
            heappush(waiting, (*place, after[number]))


def apart(text: str, heard: str) -> float:
    """What it costs to turn the heard text into this one, for each of its letters."""
    said = _Spelled(heard)
    paid = said.start[None].copy()
    letters = [_letter(letter) for letter in letters_of(text) if letter != " "]
    for letter in letters:
        said.put_after(paid, np.array([letter]))
        said.skip_on(paid)
    return float(paid[0, -1]) / max(len(letters), 1)
