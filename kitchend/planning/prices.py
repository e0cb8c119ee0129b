"""The prices at which the cheapest dinner costs most: a bound on how long things stand, and where to look.

The volume algorithm (F. Barahona and R. Anbil, Mathematical Programming 87, 2000): prices rise where the
average of the cheapest dinners takes more than there is. Every rise is rounded to whole parts and every
sum is of whole numbers, so the same dinner has the same prices on every machine. The bound is of the prices
reached, whatever they are. Needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kitchend.core.plan import StepId
from kitchend.planning.priced import FINE, Cheapest, Numbers, Priced
from kitchend.planning.problem import Problem
from kitchend.planning.relaxation import relaxed

_ROUNDS, _LEAST_ROUNDS = 250, 40
_CELLS = 72_000
"""Tasks times moments that get all rounds; more get fewer, so that no dinner takes much longer."""
_MOST_CELLS = 400_000
"""More are not priced at all: dinners that last for days, or are counted in seconds."""
_PART = 1024
"""The average is kept in so many parts of one."""
_HIGHEST = float(2**22)
"""No price is higher; more would only say that it cannot be had."""
_FIRST_STEP, _FASTER, _SLOWER = 0.5, 1.1, 0.66
_PATIENCE = 5
_FIRST_SHARE, _LEAST_SHARE, _SHRINKS, _SHRINK_EVERY = 0.5, 0.005, 0.7, 50


@dataclass(frozen=True, slots=True)
class Bound:
    """What no plan without trouble is below, and by how much dinner costs more, at the least, with a task
    (a row) at a moment (a column).
    """

    least: int
    steps: tuple[StepId, ...]
    dearer: Numbers

    def starts_within(self, extra: int) -> dict[StepId, tuple[int, int]]:
        """The first and last start of each step at which dinner need not cost more by more than this."""
        found = {}
        for step, row in zip(self.steps, self.dearer, strict=True):
            some = np.flatnonzero(row <= FINE * extra)
            found[step] = int(some[0]), int(some[-1])
        return found


def bound_of(problem: Problem, rounds: int = _ROUNDS) -> Bound | None:
    """The bound of a dinner not yet begun; None where none is found, or nothing without trouble can be."""
    cells = len(problem.tasks) * (problem.serve_s or 0)
    dinner = relaxed(problem) if 0 < cells <= _MOST_CELLS else None
    if dinner is None:
        return None
    priced = Priced(dinner)
    rise = _Rise(priced)
    for _ in range(max(min(rounds, _LEAST_ROUNDS), min(rounds, rounds * _CELLS // cells))):
        if not rise.once():
            break
    if rise.best.least > FINE * _most(priced):
        return None
    least = -(-int(rise.best.least) // FINE)
    return Bound(least, tuple(task.id for task in dinner.tasks), priced.dearer(rise.prices))


def _most(priced: Priced) -> int:
    """More than any plan without trouble costs."""
    dinner = priced.dinner
    ends = zip(dinner.end_weight, dinner.latest, dinner.low, strict=True)
    most = sum(weight * (latest - low) for weight, latest, low in ends)
    links = (branch.link for branch in dinner.branches)
    return most + dinner.constant + sum(link.weight * (link.most - link.free) for link in links)


class _Rise:
    """Prices on their way up."""

    def __init__(self, priced: Priced) -> None:
        self._priced = priced
        self.prices = priced.free
        self.best = priced.cheapest(self.prices)
        self._average = _PART * self.best.beyond
        self._target = self.best.least * 1.5 + 100 * FINE
        self._step, self._share = _FIRST_STEP, _FIRST_SHARE
        self._rounds = self._since = 0

    def once(self) -> bool:
        """One round; False when nothing is short any more."""
        short = np.where((self.prices <= 0) & (self._average < 0), 0.0, self._average)
        size = float((short * short).sum())
        if size == 0:
            return False
        if self.best.least > 0.95 * self._target:
            self._target = self.best.least * 1.05 + FINE
        step = self._step * (self._target - self.best.least) * _PART / size
        prices = np.rint(np.clip(self.prices + step * self._average, 0, _HIGHEST))
        found = self._priced.cheapest(prices)
        self._mix(found)
        self._judge(found, prices, short)
        self._rounds += 1
        if self._rounds % _SHRINK_EVERY == 0:
            self._share = max(_LEAST_SHARE, self._share * _SHRINKS)
        return True

    def _mix(self, found: Cheapest) -> None:
        """The new dinner into the average, with the share that leaves least short."""
        off = _PART * found.beyond - self._average
        size = float((off * off).sum())
        if size > 0:
            best = -float((self._average * off).sum()) / size
            share = min(max(best, self._share / 10), self._share)
            self._average = np.rint(self._average + share * off)

    def _judge(self, found: Cheapest, prices: Numbers, short: Numbers) -> None:
        """Take the new prices if they are better; longer steps while they lead upwards, shorter else."""
        self._since += 1
        if found.least > self.best.least:
            if float((found.beyond * short).sum()) >= 0:
                self._step = min(2.0, self._step * _FASTER)
            self.best, self.prices, self._since = found, prices, 0
        elif self._since >= _PATIENCE:
            self._step, self._since = max(1e-4, self._step * _SLOWER), 0
