"""No step starts sooner than this, and no pass is sooner, by order alone.

Hands, places and ovens are left out, so every real plan is at or after these moments.
"""

from __future__ import annotations

from collections.abc import Mapping
from graphlib import CycleError

from kitchend.core.plan import StepId
from kitchend.planning.critical_path import Link, paths
from kitchend.planning.problem import Problem, Task


def earliest_of(problem: Problem) -> dict[StepId, int]:
    """The earliest start of every task; now for all that is not a fact where steps go in a circle."""
    tasks = problem.tasks
    facts = {task.id: task.start_s for task in tasks if task.start_s is not None}
    links = [
        Link(before, task.id, problem.task(before).length_s + problem.gap_s(problem.task(before), task))
        for task in tasks
        if not task.is_fact
        for before in task.after
    ]
    links += [
        Link(task.during, task.id, task.at_s)
        for task in tasks
        if task.during is not None and not task.is_fact
    ]
    try:
        found = paths({task.id: task.length_s for task in tasks}, links, release=facts)
    except CycleError:
        return {task.id: facts.get(task.id, 0) for task in tasks}
    return dict(found.earliest)


def earliest_pass(problem: Problem, earliest: Mapping[StepId, int]) -> int:
    """The soonest the pass can be: not before it is wanted, nor before anything that goes to it is over."""
    ends = [_to_pass(task, earliest[task.id]) for task in problem.tasks]
    return max([0, problem.serve_s or 0, *ends])


def _to_pass(task: Task, start_s: int) -> int:
    return start_s + task.length_s + task.before_pass_s
