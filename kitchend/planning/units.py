"""A problem in the largest unit of time that all its durations are whole numbers of, and its solution back.

The solver is the quicker the fewer moments there are. Only a dinner not yet begun is counted so: there every
start is the pass less a sum of durations (or now plus one), so nothing is lost; what has begun ends when it
ends. `keeps` is cut to whole units, which is exact for the same reason; heating is given whole units.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import gcd

from kitchend.planning.model import Solution
from kitchend.planning.problem import Problem, Task


@dataclass(frozen=True, slots=True)
class Scale:
    """So many seconds a unit, counted from `first_s` seconds after the origin."""

    unit: int
    first_s: int = 0

    def down(self, seconds: int) -> int:
        """A moment in whole units, rounded down."""
        return (seconds - self.first_s) // self.unit

    def seconds(self, moment: int) -> int:
        """A moment back in seconds from the origin."""
        return moment * self.unit + self.first_s


def scale_of(problem: Problem) -> Scale:
    """The unit, and moments counted so that the pass is one of them."""
    unit = _unit_of(problem)
    return Scale(unit, 0 if problem.serve_s is None else problem.serve_s % unit)


def _unit_of(problem: Problem) -> int:
    if problem.hot or any(task.is_fact for task in problem.tasks):
        return 1
    return max(1, gcd(*_times(problem)))


def in_units(problem: Problem, scale: Scale) -> Problem:
    """The same problem with every time counted in units."""
    if scale.unit == 1:
        return problem
    settings, unit = problem.settings, scale.unit
    counted = replace(
        settings,
        preheat_s=-(-settings.preheat_s // unit),
        linger_s=settings.linger_s // unit,
        heat_hands_s=-(-settings.heat_hands_s // unit),
        heat_wait_s=settings.heat_wait_s // unit,
        answer_s=settings.answer_s // unit,
        apart_s=-(-settings.apart_s // unit),
        reminder_slack_s=settings.reminder_slack_s // unit,
    )
    equipment = tuple(
        replace(item, preheat_s=None if item.preheat_s is None else -(-item.preheat_s // unit))
        for item in problem.equipment
    )
    return replace(
        problem,
        tasks=tuple(_task(task, scale) for task in problem.tasks),
        equipment=equipment,
        serve_s=None if problem.serve_s is None else scale.down(problem.serve_s),
        settings=counted,
        unit_s=unit,
    )


def in_seconds(solution: Solution, scale: Scale) -> Solution:
    """The solution of a counted problem in the words of the one it came from."""
    heatings = (
        replace(heating, start_s=scale.seconds(heating.start_s), length_s=heating.length_s * scale.unit)
        for heating in solution.heatings
    )
    return replace(
        solution,
        starts={step: scale.seconds(at) for step, at in solution.starts.items()},
        pass_s=scale.seconds(solution.pass_s),
        heatings=tuple(heatings),
        overruns_s={step: over * scale.unit for step, over in solution.overruns_s.items()},
    )


def _times(problem: Problem) -> Iterator[int]:
    settings = problem.settings
    yield 60
    for task in problem.tasks:
        yield from (task.length_s, task.hands_s, task.at_s, task.before_pass_s)
        if task.hands_s > 0 or any(use.at is not None for use in task.uses):
            yield settings.answer_s
        if task.during is not None:
            yield settings.reminder_slack_s


def _task(task: Task, scale: Scale) -> Task:
    unit = scale.unit
    return replace(
        task,
        length_s=task.length_s // unit,
        hands_s=task.hands_s // unit,
        keeps_s=None if task.keeps_s is None else task.keeps_s // unit,
        at_s=task.at_s // unit,
        before_pass_s=task.before_pass_s // unit,
        was_s=None if task.was_s is None else scale.down(task.was_s),
    )
