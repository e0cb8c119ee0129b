"""A problem in the largest unit of time that all its durations are whole numbers of, and its solution back.

The solver is the quicker the fewer moments there are. In a dinner not yet begun nothing is lost: every start
is the pass less a sum of durations (or now plus one). What has begun ends when it ends: the rest is counted
in units of `REST_UNIT_S` at most, facts end with the unit they end in, and what follows waits for that.
`keeps` is cut to whole units, which is exact for the same reason; heating is given whole units.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import gcd

from kitchend.planning.model import Solution
from kitchend.planning.problem import Hot, Problem, Task

REST_UNIT_S = 5
"""As long as nobody minds to wait for a call; with it the rest is planned as quickly as with a longer one."""


@dataclass(frozen=True, slots=True)
class Scale:
    """So many seconds a unit, counted from `first_s` seconds after the origin."""

    unit: int
    first_s: int = 0

    def down(self, seconds: int) -> int:
        """A moment in whole units, rounded down."""
        return (seconds - self.first_s) // self.unit

    def up(self, seconds: int) -> int:
        """A moment in whole units, rounded up."""
        return -((self.first_s - seconds) // self.unit)

    def seconds(self, moment: int) -> int:
        """A moment back in seconds from the origin."""
        return moment * self.unit + self.first_s


def scale_of(problem: Problem) -> Scale:
    """The unit, and moments counted so that the pass is one of them."""
    unit = _unit_of(problem)
    return Scale(unit, 0 if problem.serve_s is None else problem.serve_s % unit)


def _unit_of(problem: Problem) -> int:
    most = REST_UNIT_S if has_begun(problem) else 0
    return max(1, gcd(most, *_times(problem)))


def has_begun(problem: Problem) -> bool:
    """Whether anything has happened in it."""
    return bool(problem.hot) or any(task.is_fact for task in problem.tasks)


def in_units(problem: Problem, scale: Scale) -> Problem:
    """The same problem with every time counted in units."""
    if scale.unit == 1:
        return problem
    settings, unit = problem.settings, scale.unit
    lost = 1 if has_begun(problem) else 0  # what has begun may have ended a unit sooner than is counted
    counted = replace(
        settings,
        preheat_s=-(-settings.preheat_s // unit),
        linger_s=settings.linger_s // unit - lost,
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
        tasks=tuple(_due(_task(task, scale), problem, scale) for task in problem.tasks),
        equipment=equipment,
        serve_s=None if problem.serve_s is None else scale.down(problem.serve_s),
        hot=tuple(_hot(hot, scale) for hot in problem.hot),
        settings=counted,
        unit_s=unit,
    )


def in_seconds(solution: Solution, scale: Scale, problem: Problem) -> Solution:
    """The solution of a counted problem in the words of the problem it came from."""
    facts = {task.id: task.start_s for task in problem.tasks if task.start_s is not None}
    heatings = (
        replace(heating, start_s=scale.seconds(heating.start_s), length_s=heating.length_s * scale.unit)
        for heating in solution.heatings
    )
    return replace(
        solution,
        starts={step: scale.seconds(at) for step, at in solution.starts.items()} | facts,
        pass_s=scale.seconds(solution.pass_s),
        heatings=tuple(heatings),
        overruns_s={step: over * scale.unit for step, over in solution.overruns_s.items()},
    )


def _times(problem: Problem) -> Iterator[int]:
    settings = problem.settings
    yield 60
    for task in problem.tasks:
        yield from (task.at_s, task.before_pass_s)
        if task.is_fact:
            continue
        yield from (task.length_s, task.hands_s)
        if task.hands_s > 0 or any(use.at is not None for use in task.uses):
            yield settings.answer_s
        if task.during is not None:
            yield settings.reminder_slack_s


def _task(task: Task, scale: Scale) -> Task:
    unit = scale.unit
    counted = replace(
        task,
        length_s=task.length_s // unit,
        hands_s=task.hands_s // unit,
        keeps_s=None if task.keeps_s is None else task.keeps_s // unit,
        at_s=task.at_s // unit,
        before_pass_s=task.before_pass_s // unit,
        was_s=None if task.was_s is None else scale.down(task.was_s),
        was_over_s=None if task.was_over_s is None else -(-task.was_over_s // unit),
    )
    return counted if task.start_s is None else _fact(task, task.start_s, counted, scale)


def _fact(task: Task, start_s: int, counted: Task, scale: Scale) -> Task:
    """What has begun, from the unit it began in to the end of the unit it ends in."""
    start = scale.down(start_s)
    hands = scale.up(task.hands_until_s) if task.hands_until_s > 0 else 0
    return replace(counted, start_s=start, length_s=scale.up(task.end_s) - start, hands_until_s=max(0, hands))


def _due(counted: Task, problem: Problem, scale: Scale) -> Task:
    """A reminder of what has begun comes when it is due, or in the unit after."""
    host = None if counted.during is None else problem.task(counted.during)
    if host is None or host.start_s is None:
        return counted
    due_s = host.start_s + problem.task(counted.id).at_s
    return replace(counted, at_s=scale.up(due_s) - scale.down(host.start_s))


def _hot(hot: Hot, scale: Scale) -> Hot:
    return replace(
        hot, start_s=scale.down(hot.start_s), ready_s=scale.up(hot.ready_s), end_s=scale.up(hot.end_s)
    )
