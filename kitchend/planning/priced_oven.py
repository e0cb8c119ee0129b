"""The course of an oven's temperatures that is worth most, when each use pays for every moment it is hot.

An oven is cold, then at one set of temperatures that it can have at once, then at another; each heating costs
what hands cost then. There are no more courses than there are uses, so a few running maxima find the best.
Whole numbers in floats, so that the sum is the same on every machine. Needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kitchend.planning.relaxation import HANDS, HotOven, Relaxed

Numbers = NDArray[np.float64]
_NEVER = -float(2**45)


@dataclass(frozen=True, slots=True)
class _Run:
    """For one set: what a course is worth that is at it until each moment, and what it was worth where that
    began, less what the set is worth until then; from which set it came.
    """

    worth: Numbers
    begun: Numbers
    came_from: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Course:
    """The best course: its worth, when each set is on (thing by thing), and when heating wants hands."""

    worth: float
    on: dict[int, list[tuple[int, int]]]
    heated: list[int]


def best_course(oven: HotOven, dinner: Relaxed, prices: Numbers, hands: Numbers) -> Course:
    """`prices` by thing and moment, `hands` the sum of what hands cost before each moment."""
    return _Courses(oven, dinner, prices, hands).best()


class _Courses:
    def __init__(self, oven: HotOven, dinner: Relaxed, prices: Numbers, hands: Numbers) -> None:
        self._oven, self._answer = oven, dinner.answer
        self._end = dinner.moments
        self._gains = [self._summed(prices[list(things)].sum(axis=0)) for things in oven.sets]
        ends = np.minimum(np.arange(self._end + 1) + dinner.heat_hands, self._end)
        self._heating = hands[ends] - hands[: self._end + 1]

    def best(self) -> Course:
        layers = [self._from_cold()]
        for _ in range(1, self._oven.uses):
            layers.append(self._turned(layers[-1]))
        ends = [
            (run.worth[-1], -turn, place)
            for turn, layer in enumerate(layers)
            for place, run in enumerate(layer)
        ]
        worth, turn, place = max(ends)
        return self._traced(layers, float(worth), -turn, place)

    def _summed(self, gain: Numbers) -> Numbers:
        return np.concatenate([[0.0], np.cumsum(gain)])

    def _from_cold(self) -> list[_Run]:
        begins = self._after(-self._heating, self._oven.cold + self._answer)
        return [self._run(place, begins, np.zeros(0, np.int64)) for place in range(len(self._oven.sets))]

    def _after(self, worth: Numbers, wait: int) -> Numbers:
        later = np.full(self._end + 1, _NEVER)
        if wait <= self._end:
            later[wait:] = worth[: self._end + 1 - wait]
        return later

    def _run(self, place: int, begins: Numbers, came_from: NDArray[np.int64]) -> _Run:
        begun = begins - self._gains[place]
        return _Run(self._gains[place] + np.maximum.accumulate(begun), begun, came_from)

    def _wait(self, came_from: int, place: int) -> int | None:
        """How long from a set to another, with the cook's word; None without any heating."""
        turn = self._oven.cold if came_from == place else self._oven.turns[came_from][place]
        return None if turn is None else turn + self._answer

    def _turned(self, layer: list[_Run]) -> list[_Run]:
        return [self._turned_to(place, layer) for place in range(len(layer))]

    def _turned_to(self, place: int, layer: list[_Run]) -> _Run:
        ways = []
        for came_from, run in enumerate(layer):
            wait = self._wait(came_from, place)
            ways.append(run.worth if wait is None else self._after(run.worth - self._heating, wait))
        stacked = np.stack(ways)
        return self._run(place, stacked.max(axis=0), stacked.argmax(axis=0))

    def _traced(self, layers: list[list[_Run]], worth: float, turn: int, place: int) -> Course:
        on: dict[int, list[tuple[int, int]]] = {}
        heated = []
        end = self._end
        while True:
            run = layers[turn][place]
            begin = int(np.argmax(run.begun[: end + 1]))
            for thing in self._oven.sets[place]:
                on.setdefault(thing, []).append((begin, end))
            if turn == 0:
                heated.append(begin - self._oven.cold - self._answer)
                break
            came_from = int(run.came_from[begin])
            wait = self._wait(came_from, place)
            end, turn, place = begin - (wait or 0), turn - 1, came_from
            if wait is not None:
                heated.append(end)
        return Course(worth, on, [at for at in heated if at >= 0])


def things_on(course: Course, dinner: Relaxed, taken: Numbers) -> None:
    """Take what a course gives off what is taken, and put the hands it wants on."""
    for thing, stretches in course.on.items():
        for begin, end in stretches:
            taken[thing, begin:end] -= 1
    for at in course.heated:
        taken[HANDS, at : at + dinner.heat_hands] += 1
