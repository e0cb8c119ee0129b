"""How much time uncertain steps are given in a plan, and what is on is taken to need: one number decides.

The number is `z`: every uncertain step is planned so many standard deviations from its middle. A timeline
keeps it as `margin_s`, what the most uncertain step is given beyond its middle, and whoever plans the rest
reads it back from there: a promise is made once, and lengths do not wander while the dinner is on.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kitchend.core.plan import StepId
from kitchend.planning.chance_spread import READING_Z, Spread, spread_of
from kitchend.planning.problem import Task

LATTICES_S = (15, 5, 1)
"""Uncertain steps are given whole quarters of a minute, or finer where that would tell: plans in few
different moments are solved sooner.
"""
LEAST_Z = -READING_Z
MOST_Z = 3.0
"""No step is planned shorter than the short end of its range, nor for worse than one dinner in a thousand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """What uncertain steps are given: the spread of each, the most each may be given, and `z` for all."""

    spreads: Mapping[StepId, Spread]
    most_s: Mapping[StepId, float]
    z: float = 0.0

    @property
    def widest(self) -> StepId | None:
        """The most uncertain step: the one whose standard deviation is longest; None if all is certain."""
        return max(self.spreads, key=lambda step: (self.spreads[step].deviation_s, step), default=None)

    @property
    def most_z(self) -> float:
        """Where the most uncertain step is given the most it may be."""
        widest = self.widest
        return MOST_Z if widest is None else min(MOST_Z, self.spreads[widest].z_of(self.most_s[widest]))

    @property
    def margin_s(self) -> int:
        """What the most uncertain step is given beyond its middle, in whole seconds."""
        widest = self.widest
        return 0 if widest is None else round(self.given_s(widest) - self.spreads[widest].middle_s)

    @property
    def lattice_s(self) -> int:
        """What lengths are whole numbers of: at most a quarter of the most uncertain step's deviation."""
        deviation_s = self.spreads[self.widest].deviation_s if self.widest else 0.0
        return next((one for one in LATTICES_S if deviation_s >= 4 * one), LATTICES_S[-1])

    def at(self, z: float) -> Lengths:
        """The same with another `z`, within what may be given; the most uncertain step is on the lattice."""
        z = min(max(z, LEAST_Z), self.most_z)
        if (widest := self.widest) is None:
            return self
        length_s = self._on_lattice(min(self.spreads[widest].at(z), self.most_s[widest]))
        return replace(self, z=self.spreads[widest].z_of(length_s))

    def with_margin(self, margin_s: int) -> Lengths:
        """The same with the `z` that a timeline's margin tells."""
        if (widest := self.widest) is None:
            return self
        spread = self.spreads[widest]
        return self.at(spread.z_of(spread.middle_s + margin_s))

    def shorter_by(self, seconds: float) -> Lengths:
        """The same with the `z` that gives the most uncertain step so much less."""
        if (widest := self.widest) is None:
            return self
        return self.at(self.spreads[widest].z_of(self.given_s(widest) - seconds))

    def of(self, task: Task) -> int:
        """Whole seconds for a task: as planned where it is certain, never less than its hands."""
        if task.id not in self.spreads:
            return task.length_s
        return max(task.hands_s, 1, self._on_lattice(self.given_s(task.id)))

    def given_s(self, step: StepId) -> float:
        """Seconds for an uncertain step, unrounded."""
        if step == self.widest:
            return self.spreads[step].at(self.z)
        return min(self.spreads[step].at(self.z), self.most_s[step])

    def _on_lattice(self, seconds: float) -> int:
        return max(1, round(seconds / self.lattice_s)) * self.lattice_s


def lengths_of(tasks: Sequence[Task]) -> Lengths:
    """The lengths of these tasks' steps, at their middles.

    None is given so much more than its middle that, when it takes just that, something on its way to the pass
    would stand longer than it keeps: what keeps well is the cushion, and there is no other.
    """
    spreads = {task.id: spread for task in tasks if (spread := spread_of(task.step)) is not None}
    cushions = _cushions(tasks)
    return Lengths(
        spreads=spreads, most_s={step: one.middle_s + cushions[step] for step, one in spreads.items()}
    )


def _cushions(tasks: Sequence[Task]) -> dict[StepId, float]:
    """How long each step's result may stand on its way to the pass, all that follows included."""
    found: dict[StepId, float] = {}
    waiting = {task.id: task for task in tasks}
    after: dict[StepId, list[StepId]] = {}
    for task in tasks:
        for before in task.after if task.during is None else ():
            after.setdefault(before, []).append(task.id)
    while waiting:
        ends = [t for t in waiting.values() if not any(n in waiting for n in after.get(t.id, ()))]
        for task in ends or list(waiting.values())[:1]:
            own = math.inf if task.keeps_s is None else float(task.keeps_s)
            found[task.id] = own + min((found.get(n, 0.0) for n in after.get(task.id, ())), default=0.0)
            del waiting[task.id]
    return found


def given(tasks: Sequence[Task], lengths: Lengths) -> tuple[Task, ...]:
    """The same tasks with uncertain steps given so much."""
    wanted = ((task, lengths.of(task)) for task in tasks)
    return tuple(t if t.length_s == length else replace(t, length_s=length) for t, length in wanted)
