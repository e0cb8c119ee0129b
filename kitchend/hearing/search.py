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
_MANY = 32


def _letter(letter: str) -> int:
    return ord(letter) - 96 if "a" <= letter <= "z" else 0


Units = tuple[int, ...]
"""A word in what it is compared by: letters or phones."""


def by_letters(word: str) -> tuple[Units, ...]:
    """The one way a word is spelled."""
    return (tuple(map(_letter, letters_of(word))),)


class Measured(Protocol):
    """What was heard, as ways of a grammar are measured against it.

    A place is a border in it: between two letters, or two frames of sound. The rows of `paid` are places, its
    columns ways; what is put into it changes it.
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
class _Endings:
    """States, each with the last word before it, longest word first.

    `units` holds, from the last unit of the words to the first, those of the words that are so long.
    """

    targets: NDArray[np.int64]
    units: tuple[NDArray[np.int64], ...]


@dataclass(frozen=True, slots=True)
class _Ways:
    """The ways on from a state: where they end, their costs for being unlikely, and their words."""

    endings: _Endings
    costs: Floats
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Level:
    """States that lead to earlier levels only, and the endings that lead to them.

    The states' ways are put state by state, from `starts` on: which of all endings each has, and its cost.
    Ways that end alike, and more than half have others that do, are so followed once.
    """

    states: NDArray[np.int64]
    starts: NDArray[np.int64]
    which: NDArray[np.int64]
    costs: Floats
    endings: _Endings


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
            ways = sorted(self._by_source[state], key=lambda way: -len(way[3]))
            endings = _laid_out([(target, units) for target, _, _, units in ways])
            costs = np.array([cost for _, cost, _, _ in ways], np.float32)
            self._onward[state] = _Ways(endings, costs, tuple(word for _, _, word, _ in ways))
        return self._onward[state]

    def rests(self, heard: Measured) -> Floats:
        """float32[states, places]: what is still to pay at best from a state and a place on."""
        found = np.full((self.final + 1, len(heard.left)), _FAR, np.float32)
        found[self.final] = heard.left
        ended = np.empty(
            (sum(len(level.endings.targets) for level in self._levels), len(heard.left)), np.float32
        )
        done = 0
        for level in self._levels:
            if len(level.which):
                by_way = ended[level.which]
                by_way += level.costs[:, None]
                found[level.states] = np.minimum.reduceat(by_way, level.starts, axis=0)
            paid = found[level.endings.targets].T.copy()
            for units in level.endings.units:
                heard.put_before(paid[:, : len(units)], units)
            heard.skip_back(paid)
            ended[done : done + paid.shape[1]] = paid.T
            done += paid.shape[1]
        return found


def _laid_out(listed: Sequence[tuple[int, Units]]) -> _Endings:
    """These, of which the longest word is the first."""
    units = tuple(
        np.array([word[-1 - place] for _, word in listed if len(word) > place], np.int64)
        for place in range(max((len(word) for _, word in listed), default=0))
    )
    return _Endings(np.array([target for target, _ in listed], np.int64), units)


def _levels(by_source: dict[int, list[_Way]], final: int) -> Iterator[_Level]:
    depth = {final: 0}
    for state in sorted(by_source, reverse=True):  # arcs lead to higher numbers only
        depth[state] = 1 + max(depth[way[0]] for way in by_source[state])
    different = {(way[0], way[3]) for ways in by_source.values() for way in ways}
    by_depth: dict[int, list[tuple[int, Units]]] = {}
    for ending in sorted(different, key=lambda ending: (-len(ending[1]), ending)):
        by_depth.setdefault(depth[ending[0]], []).append(ending)
    places: dict[tuple[int, Units], int] = {}
    ordered = sorted((final, *by_source), key=lambda state: depth[state])
    for level, group in groupby(ordered, key=lambda state: depth[state]):
        states = list(group)
        ways = [way for state in states for way in by_source.get(state, ())]
        starts = np.cumsum([0, *(len(by_source.get(state, ())) for state in states[:-1])])
        which = np.array([places[target, units] for target, _, _, units in ways], np.int64)
        costs = np.array([cost for _, cost, _, _ in ways], np.float32)
        endings = by_depth.get(level, [])
        places |= {ending: place for place, ending in enumerate(endings, len(places))}
        yield _Level(np.array(states), starts, which, costs, _laid_out(endings))


def least_until(paid: Floats) -> Floats:
    """float32[places, ways]: the least that is paid at each place or before it.

    Of many ways by strides of 1, 2, 4... places: place by place takes four times as long.
    """
    if paid.shape[1] < _MANY:
        few: Floats = np.minimum.accumulate(paid, axis=0)
        return few
    found, longer = paid, np.empty_like(paid)
    stride = 1
    while stride < len(paid):
        longer[:stride] = found[:stride]
        np.minimum(found[stride:], found[:-stride], out=longer[stride:])
        found, longer = longer, np.empty_like(paid) if found is paid else found
        stride *= 2
    return found


def least_from(paid: Floats) -> Floats:
    """float32[places, ways]: the least that is paid at each place or after it."""
    return least_until(paid[::-1])[::-1]


class _Spelled:
    """A heard text, Measured: letters without spaces."""

    def __init__(self, text: str) -> None:
        row = [_letter(letter) for letter in letters_of(text) if letter.isalnum()]
        self._other = np.ascontiguousarray(_COSTS[row])
        self.start = (np.arange(len(row) + 1) * LACKING).astype(np.float32)
        self.left = self.start[::-1].copy()

    def put_before(self, paid: Floats, units: NDArray[np.int64]) -> None:
        meant = paid[1:] + self._other[:, units]
        paid += np.float32(EXTRA)
        np.minimum(paid[:-1], meant, out=paid[:-1])

    def put_after(self, paid: Floats, units: NDArray[np.int64]) -> None:
        meant = paid[:-1] + self._other[:, units]
        paid += np.float32(EXTRA)
        np.minimum(paid[1:], meant, out=paid[1:])

    def skip_back(self, paid: Floats) -> None:
        start = self.start[:, None]
        paid += start
        np.subtract(least_from(paid), start, out=paid)

    def skip_on(self, paid: Floats) -> None:
        start = self.start[:, None]
        paid -= start
        np.add(least_until(paid), start, out=paid)


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
        endings = ways.endings
        paid_on = np.repeat(paid[:, None], len(ways.words), axis=1)
        heard.skip_on(paid_on)
        for units in reversed(endings.units):
            heard.put_after(paid_on[:, : len(units)], units)
        after = paid_on.T.copy()
        totals = (after + rests[endings.targets]).min(axis=1) + ways.costs + np.float32(unlikely)
        for number, word in enumerate(ways.words):
            longer = f"{text} {word}" if text and word else text or word
            so_far = unlikely + float(ways.costs[number])
            place = (float(totals[number]), next(turn), int(endings.targets[number]), longer, so_far)
            heappush(waiting, (*place, after[number]))


def apart(text: str, heard: str) -> float:
    """What it costs to turn the heard text into this one, for each of its letters."""
    said = _Spelled(heard)
    paid = said.start[:, None].copy()
    letters = [_letter(letter) for letter in letters_of(text) if letter != " "]
    for letter in letters:
        said.put_after(paid, np.array([letter]))
        said.skip_on(paid)
    return float(paid[-1, 0]) / max(len(letters), 1)
