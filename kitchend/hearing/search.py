"""The commands of a grammar that are spelled most like a heard text: an exact search of its network.

The cost of a command is the cheapest way to turn the text into it, letter by letter, plus how unlikely the
grammar holds it to be. A pass from the end finds what every state still costs at best; with that as its guide
a search from the start gives the commands in order, cheapest first, and misses none. Pure.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, groupby
from math import log

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

    `letters` holds, from the last letter of the words to the first, those of the words that are so long.
    """

    targets: NDArray[np.int64]
    costs: Floats
    letters: tuple[NDArray[np.int64], ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Level:
    """States that lead to earlier levels only; `order` puts their ways state by state, from `starts` on."""

    states: NDArray[np.int64]
    starts: NDArray[np.int64]
    order: NDArray[np.int64]
    ways: _Ways


_Way = tuple[int, float, str]


class Searchable:
    """A network laid out for searching; made once for a grammar."""

    def __init__(self, network: Network) -> None:
        by_source: dict[int, list[_Way]] = {}
        for arc in network.arcs:
            way = (arc.target, -UNLIKELY * log(arc.share), arc.word or "")
            by_source.setdefault(arc.source, []).append(way)
        self.final = network.final
        self._by_source = by_source
        self._onward: dict[int, _Ways] = {}
        self._levels = tuple(_levels(by_source, network.final))

    def holds(self, text: str) -> bool:
        """Whether it is a command to the letter."""
        places = self._with_silent({0})
        for word in text.split():
            steps = ((target, way) for place in places for target, _, way in self._by_source.get(place, ()))
            places = self._with_silent({target for target, way in steps if way == word})
        return self.final in places

    def _with_silent(self, places: set[int]) -> set[int]:
        """These states and those reached from them without a word."""
        new = list(places)
        while new:
            for target, _, word in self._by_source.get(new.pop(), ()):
                if not word and target not in places:
                    places.add(target)
                    new.append(target)
        return places

    def onward(self, state: int) -> _Ways:
        """The ways on from a state."""
        if state not in self._onward:
            self._onward[state] = _ways(self._by_source[state])[0]
        return self._onward[state]

    def rests(self, heard: _Heard) -> Floats:
        """float32[states, letters + 1]: what is still to pay at best from a state and a place on."""
        found = np.full((self.final + 1, len(heard.skipped)), _FAR, np.float32)
        found[self.final] = heard.left
        for level in self._levels:
            ways = level.ways
            paid = found[ways.targets]
            for letters in ways.letters:
                heard.put_before(paid[: len(letters)], letters)
            heard.skip_back(paid)
            paid += ways.costs[:, None]
            found[level.states] = np.minimum.reduceat(paid[level.order], level.starts, axis=0)
        return found


def _ways(ways: Sequence[_Way]) -> tuple[_Ways, list[int]]:
    """The ways, longest word first, and where each of those given went."""
    order = sorted(range(len(ways)), key=lambda i: -len(letters_of(ways[i][2])))
    listed = [ways[i] for i in order]
    spelled = [letters_of(word) for _, _, word in listed]
    longest = len(spelled[0])
    letters = tuple(
        np.array([_letter(word[-1 - place]) for word in spelled if len(word) > place], np.int64)
        for place in range(longest)
    )
    targets = np.array([target for target, _, _ in listed], np.int64)
    costs = np.array([cost for _, cost, _ in listed], np.float32)
    went = sorted(range(len(order)), key=order.__getitem__)
    return _Ways(targets, costs, letters, tuple(word for _, _, word in listed)), went


def _levels(by_source: dict[int, list[_Way]], final: int) -> Iterator[_Level]:
    depth = {final: 0}
    for state in sorted(by_source, reverse=True):  # arcs lead to higher numbers only
        depth[state] = 1 + max(depth[target] for target, _, _ in by_source[state])
    ordered = sorted(by_source, key=lambda state: depth[state])
    for _, group in groupby(ordered, key=lambda state: depth[state]):
        states = list(group)
        counts = [len(by_source[state]) for state in states]
        ways, went = _ways([way for state in states for way in by_source[state]])
        yield _Level(np.array(states), np.cumsum([0, *counts[:-1]]), np.array(went), ways)


class _Heard:
    """A heard text as letters without spaces."""

    def __init__(self, text: str) -> None:
        row = [_letter(letter) for letter in letters_of(text) if letter.isalnum()]
        self._other = np.ascontiguousarray(_COSTS[:, row])
        self.skipped = (np.arange(len(row) + 1) * LACKING).astype(np.float32)
        self.left = self.skipped[::-1].copy()

    def put_before(self, paid: Floats, letters: NDArray[np.int64]) -> None:
        """float32[ways, places], changed: what was to pay after these letters, now with them in front."""
        meant = paid[:, 1:] + self._other[letters]
        paid += np.float32(EXTRA)
        np.minimum(paid[:, :-1], meant, out=paid[:, :-1])

    def put_after(self, paid: Floats, letters: NDArray[np.int64]) -> None:
        """float32[ways, places], changed: what was paid before these letters, now with them behind."""
        meant = paid[:, :-1] + self._other[letters]
        paid += np.float32(EXTRA)
        np.minimum(paid[:, 1:], meant, out=paid[:, 1:])

    def skip_back(self, paid: Floats) -> None:
        """Let any number of heard letters in front be meant for nothing."""
        paid += self.skipped
        np.minimum.accumulate(paid[:, ::-1], axis=1, out=paid[:, ::-1])
        paid -= self.skipped


@dataclass(frozen=True, slots=True)
class Found:
    """A command with its cost, and the natural logarithm of its share in the grammar."""

    text: str
    cost: float
    log_share: float


def nearest(grammar: Searchable, heard: str) -> Iterator[Found]:
    """Every command of the grammar, cheapest first; nothing where nothing was heard."""
    if not any(map(str.isalnum, heard)):
        return
    said = _Heard(heard)
    rests = grammar.rests(said)
    turn = count()
    waiting: list[tuple[float, int, int, str, float, Floats]] = [(0.0, next(turn), 0, "", 0.0, said.skipped)]
    while waiting:
        cost, _, state, text, unlikely, paid = heappop(waiting)
        if state == grammar.final:
            yield Found(text, cost, -unlikely / UNLIKELY)
            continue
        ways = grammar.onward(state)
        after = np.repeat(_skipping(paid, said)[None], len(ways.words), axis=0)
        for letters in reversed(ways.letters):
            said.put_after(after[: len(letters)], letters)
        totals = (after + rests[ways.targets]).min(axis=1) + ways.costs + np.float32(unlikely)
        for number, word in enumerate(ways.words):
            longer = f"{text} {word}" if text and word else text or word
            so_far = unlikely + float(ways.costs[number])
            place = (float(totals[number]), next(turn), int(ways.targets[number]), longer, so_far)
            heappush(waiting, (*place, after[number]))


def _skipping(paid: Floats, heard: _Heard) -> Floats:
    skipped: Floats = np.minimum.accumulate(paid - heard.skipped) + heard.skipped
    return skipped


def apart(text: str, heard: str) -> float:
    """What it costs to turn the heard text into this one, for each of its letters."""
    said = _Heard(heard)
    paid = said.skipped[None].copy()
    letters = [_letter(letter) for letter in letters_of(text) if letter != " "]
    for letter in letters:
        said.put_after(paid, np.array([letter]))
        paid[0] = _skipping(paid[0], said)
    return float(paid[0, -1]) / max(len(letters), 1)
