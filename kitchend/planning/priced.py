"""The cheapest dinner when hands, places and hot ovens have a price each moment and nothing else is shared.

Each tree of steps is planned exactly, by a sliding minimum a step; each oven takes the course worth most.
What that costs, less what all there is of everything would bring, is below what any plan costs (Lagrangian
relaxation; A. M. Geoffrion, Mathematical Programming Study 2, 1974). Prices are whole numbers of `FINE`ths,
and so is everything here, kept in floats: sums below 2**53 are exact in any order, on every machine. Needs
numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kitchend.planning.priced_oven import best_course, things_on
from kitchend.planning.relaxation import HANDS, Branch, Relaxed

Numbers = NDArray[np.float64]
FINE = 256
"""Parts of a weighted moment that prices and costs are counted in."""
NEVER = float(2**45)


@dataclass(frozen=True, slots=True)
class Cheapest:
    """What the cheapest dinner costs (a bound, in FINEths), its starts, and what it takes of each thing at
    each moment beyond what there is.
    """

    least: float
    starts: list[int]
    beyond: Numbers


class Priced:
    """A relaxed dinner to be planned again and again under different prices."""

    def __init__(self, dinner: Relaxed) -> None:
        self.dinner = dinner
        self._moments = np.arange(dinner.moments, dtype=np.float64)
        self._longest = 1 + max([dinner.heat_hands, *(taking.length for taking in dinner.takings)])
        self._capacity = np.array(dinner.capacity, dtype=np.float64)[:, None]
        self._own = np.full((len(dinner.tasks), dinner.moments), NEVER)
        for at, (low, high) in enumerate(zip(dinner.low, dinner.high, strict=True)):
            early = dinner.latest[at] - self._moments[low : high + 1]
            self._own[at, low : high + 1] = FINE * dinner.end_weight[at] * early
        self._takers: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for taking in dinner.takings:
            who = self._takers.setdefault((taking.thing, taking.length), [])
            who.append((taking.task, taking.amount))
        self._levels = _levels(dinner)
        self._slides = [(level, Slide(dinner, level)) for level in self._levels]

    @property
    def free(self) -> Numbers:
        """Prices of nothing."""
        return np.zeros((len(self.dinner.capacity), self.dinner.moments))

    def cheapest(self, prices: Numbers) -> Cheapest:
        """The cheapest dinner at these prices, which are whole and not below 0."""
        dinner, sums = self.dinner, self._sums(prices)
        costs, _ = self._costs(sums)
        starts = self._starts(costs)
        least = sum(float(costs[root, starts[root]]) for root in dinner.roots)
        beyond = self._taken(starts) - self._capacity
        least -= float((prices * self._capacity).sum())
        for oven in dinner.ovens:
            course = best_course(oven, dinner, prices, sums[HANDS])
            least -= course.worth
            things_on(course, dinner, beyond)
        return Cheapest(least + FINE * dinner.constant, starts, beyond)

    def dearer(self, prices: Numbers) -> Numbers:
        """By how much dinner costs more than the cheapest at these prices if a task (a row) starts at a
        moment (a column).
        """
        below, handed_on = self._costs(self._sums(prices))
        whole = below.copy()
        for level in self._levels:
            tasks = [branch.task for branch in level]
            above = whole[[branch.on for branch in level]]
            others = np.where(above >= NEVER, NEVER, above - handed_on[tasks])
            turned = [Branch(b.on, b.task, -b.high, -b.low, b.link) for b in level]
            whole[tasks] = np.minimum(whole[tasks] + Slide(self.dinner, turned).of(others), NEVER)
        dearer: Numbers = whole - whole.min(axis=1, keepdims=True)
        return dearer

    def _sums(self, prices: Numbers) -> Numbers:
        """What each thing costs in all before each moment; nothing after the pass."""
        end = self.dinner.moments
        sums = np.zeros((len(prices), end + self._longest + 1))
        np.cumsum(prices, axis=1, out=sums[:, 1 : end + 1])
        sums[:, end + 1 :] = sums[:, end : end + 1]
        return sums

    def _costs(self, sums: Numbers) -> tuple[Numbers, Numbers]:
        """What each task and all that hangs on it costs from each start, and what it hands on to the one it
        hangs on.
        """
        end, costs = self.dinner.moments, self._own.copy()
        for (thing, length), takers in self._takers.items():
            paid = sums[thing, length : length + end] - sums[thing, :end]
            for task, amount in takers:
                costs[task] += paid if amount == 1 else amount * paid
        handed_on = np.empty_like(costs)
        for level, slide in reversed(self._slides):
            slid = slide.of(costs[[branch.task for branch in level]])
            for branch, row in zip(level, slid, strict=True):
                handed_on[branch.task] = row
                costs[branch.on] += row
        np.minimum(costs, NEVER, out=costs)
        return costs, handed_on

    def _starts(self, costs: Numbers) -> list[int]:
        """The starts of the cheapest dinner, each as late as it may be."""
        starts = [0] * len(costs)
        for root in self.dinner.roots:
            starts[root] = _last_least(costs[root], 0)
        for level in self._levels:
            for branch in level:
                first = max(0, starts[branch.on] + branch.low)
                last = min(self.dinner.moments - 1, starts[branch.on] + branch.high)
                some = slice(first, last + 1)
                costs_on = costs[branch.task, some] + _weight(branch) * self._moments[some]
                starts[branch.task] = _last_least(costs_on, first)
        return starts

    def _taken(self, starts: list[int]) -> Numbers:
        taken = np.zeros((len(self.dinner.capacity), self.dinner.moments + self._longest + 1))
        for taking in self.dinner.takings:
            at = starts[taking.task]
            taken[taking.thing, at] += taking.amount
            taken[taking.thing, at + taking.length] -= taking.amount
        whole: Numbers = np.cumsum(taken, axis=1)[:, : self.dinner.moments]
        return whole


class Slide:
    """For some branches and each start of what they hang on: the least of a branch's cost and its link's."""

    def __init__(self, dinner: Relaxed, branches: list[Branch]) -> None:
        self._moments = dinner.moments
        ranges = [_range(dinner, branch) for branch in branches]
        self._before = max(0, *(-low for low, _ in ranges))
        self._after = max(0, *(high for _, high in ranges))
        line = np.arange(self._moments, dtype=np.float64)
        self._line = np.array([[_weight(branch)] for branch in branches]) * line
        self._free = np.array([[float(FINE * b.link.weight * b.link.free)] for b in branches])
        self._widths: dict[int, list[tuple[int, int, int]]] = {}
        for row, (low, high) in enumerate(ranges):
            width = 1 << ((high - low + 1).bit_length() - 1)
            first = self._before + low
            self._widths.setdefault(width, []).append((row, first, first + high - low + 1 - width))

    def of(self, costs: Numbers) -> Numbers:
        """One row for each branch."""
        moments, found = self._moments, np.empty_like(costs)
        least = np.full((len(costs), self._before + moments + self._after), NEVER)
        np.add(costs, self._line, out=least[:, self._before : self._before + moments])
        width = 1
        while True:
            for row, first, last in self._widths.get(width, ()):
                some, others = least[row, first : first + moments], least[row, last : last + moments]
                np.minimum(some, others, out=found[row])
            if width >= max(self._widths):
                break
            np.minimum(least[:, :-width], least[:, width:], out=least[:, :-width])
            width *= 2
        found -= self._line
        found -= self._free
        return found


def _range(dinner: Relaxed, branch: Branch) -> tuple[int, int]:
    """From how long to how long after what it hangs on a branch can start at all."""
    low = max(branch.low, dinner.low[branch.task] - dinner.high[branch.on])
    return low, max(low, min(branch.high, dinner.high[branch.task] - dinner.low[branch.on]))


def _weight(branch: Branch) -> float:
    """What a moment later of the branch costs by its link."""
    return float(FINE * branch.link.weight * (-1 if branch.link.later == branch.on else 1))


def _last_least(costs: Numbers, first: int) -> int:
    return first + len(costs) - 1 - int(np.argmin(costs[::-1]))


def _levels(dinner: Relaxed) -> list[list[Branch]]:
    """The branches, those that hang on roots first."""
    depth = dict.fromkeys(dinner.roots, 0)
    levels: list[list[Branch]] = []
    for branch in dinner.branches:
        depth[branch.task] = depth[branch.on] + 1
        if depth[branch.task] > len(levels):
            levels.append([])
        levels[depth[branch.task] - 1].append(branch)
    return levels
