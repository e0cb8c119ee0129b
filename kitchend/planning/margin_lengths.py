"""How much time uncertain steps are given in a plan, and what is on is taken to need: one number decides.

The number is `z`: every uncertain step is planned so many standard deviations from its middle. A timeline
keeps it as `margin_s`, what the most uncertain step is given beyond its middle, and whoever plans the rest
reads it back from there: a promise is made once, and lengths do not wander while the dinner is on.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kitchend.core.clock import Now
from kitchend.core.plan import StepId
from kitchend.core.progress import READING_GRACE_S
from kitchend.core.room import IN_PLACE
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import timer_of_step
from kitchend.planning.chance_spread import READING_Z, Spread, spread_of
from kitchend.planning.problem import Hot, Problem, Task

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


def lengths_of(problem: Problem) -> Lengths:
    """The lengths of a problem's steps, at their middles.

    None is given so much more than its middle that, when it takes just that, something on its way to the pass
    would stand longer than it keeps: what keeps well is the cushion, and there is no other.
    """
    spreads = {task.id: spread for task in problem.tasks if (spread := spread_of(task.step)) is not None}
    cushions = _cushions(problem.tasks)
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


def given(problem: Problem, lengths: Lengths) -> Problem:
    """The problem of a whole dinner with uncertain steps given so much."""
    return replace(problem, tasks=tuple(replace(t, length_s=lengths.of(t)) for t in problem.tasks))


def given_to_rest(
    problem: Problem, lengths: Lengths, state: DinnerState, now: Now
) -> tuple[Problem, Mapping[StepId, int]]:
    """The problem of a rest, likewise, and what is on in it with the seconds it was given or held beyond.

    What is on past its time is given `READING_GRACE_S` more, again and again: no guess is made twice.
    """
    running = _running(problem, state, now)
    tasks = {task.id: _given_to(task, lengths, running) for task in problem.tasks}
    ends = {task.id: (task, tasks[task.id]) for task in problem.tasks if task.is_fact}
    return replace(
        problem,
        tasks=tuple(tasks.values()),
        hot=tuple(_moved(hot, list(ends.values())) for hot in problem.hot),
    ), running


def _running(problem: Problem, state: DinnerState, now: Now) -> dict[StepId, int]:
    """What is on, held or up, and how much later than planned its time runs out (0 without a clock)."""
    found = {}
    for task in problem.tasks:
        record = state.record_of(task.id)
        if task.is_over or record.state not in IN_PLACE:
            continue
        timer = timer_of_step(state.timers, task.id)
        raw = None
        if timer is not None and record.state is StepState.HELD:
            raw = timer.remaining_s(now.instant) + timer.spread_s
        elif timer is not None and timer.due is not None:
            raw = timer.due + timer.spread_s - now.instant
        found[task.id] = 0 if raw is None else round(raw - (task.start_s or 0) - task.step.takes.high_s)
    return found


def _given_to(task: Task, lengths: Lengths, running: Mapping[StepId, int]) -> Task:
    if task.is_over or task.id not in lengths.spreads:
        return task
    own = lengths.of(task)
    if not task.is_fact:
        return replace(task, length_s=own)
    if task.id not in running:
        return replace(task, length_s=task.length_s + own - max(task.step.takes.high_s, task.hands_s))
    start = task.start_s or 0
    if task.end_s <= 0:
        return task
    end = max(start + own + running[task.id], READING_GRACE_S)
    return replace(task, length_s=end - start)


def _moved(hot: Hot, pairs: Sequence[tuple[Task, Task]]) -> Hot:
    """An oven is in use until what is in it ends."""
    for before, after in pairs:
        is_here = any(use.equipment == hot.oven and use.at is not None for use in before.uses)
        if is_here and not before.step.added and (hot.start_s, hot.end_s) == (before.start_s, before.end_s):
            return replace(hot, end_s=after.end_s)
    return hot
