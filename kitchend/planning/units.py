"""A problem in the largest unit of time that all its durations are whole numbers of, and its solution back.

The solver is the quicker the fewer moments there are: a plan in whole minutes is searched minute by minute.
Only for a dinner not yet begun, with no serving time and no oven to heat: there every start is a sum of
durations, so nothing is lost. `keeps` is cut to whole units, which is exact for the same reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import gcd

from kitchend.planning.model import Solution
from kitchend.planning.problem import Problem, Task


def unit_of(problem: Problem) -> int:
    """The unit in seconds; 1 where a larger one could miss the best."""
    uses_heat = any(use.at is not None for task in problem.tasks for use in task.uses)
    has_facts = any(task.is_fact for task in problem.tasks)
    if problem.serve_s is not None or uses_heat or has_facts or problem.hot:
        return 1
    return max(1, gcd(*_times(problem)))


def in_units(problem: Problem, unit: int) -> Problem:
    """The same problem with every time counted in units."""
    if unit == 1:
        return problem
    settings = problem.settings
    counted = replace(
        settings,
        answer_s=settings.answer_s // unit,
        apart_s=-(-settings.apart_s // unit),
        reminder_slack_s=settings.reminder_slack_s // unit,
    )
    tasks = tuple(_task(task, unit) for task in problem.tasks)
    return replace(problem, tasks=tasks, settings=counted, unit_s=unit)


def in_seconds(solution: Solution, unit: int) -> Solution:
    """The solution of a counted problem in the words of the one it came from."""
    return replace(
        solution,
        starts={step: at * unit for step, at in solution.starts.items()},
        pass_s=solution.pass_s * unit,
        overruns_s={step: over * unit for step, over in solution.overruns_s.items()},
    )


def _times(problem: Problem) -> Iterator[int]:
    settings = problem.settings
    for task in problem.tasks:
        yield from (task.length_s, task.hands_s, task.at_s, task.earliest_s, task.before_pass_s)
        if task.hands_s > 0:
            yield settings.answer_s
        if task.during is not None:
            yield settings.reminder_slack_s


def _task(task: Task, unit: int) -> Task:
    return replace(
        task,
        length_s=task.length_s // unit,
        hands_s=task.hands_s // unit,
        keeps_s=None if task.keeps_s is None else task.keeps_s // unit,
        at_s=task.at_s // unit,
        earliest_s=task.earliest_s // unit,
        before_pass_s=task.before_pass_s // unit,
        was_s=None if task.was_s is None else task.was_s // unit,
    )
