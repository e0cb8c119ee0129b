"""What ties the steps of a solved dinner together: by order, by hands, by places, by an oven's temperature.

Derived from a solution and nothing else. A tie says that one step starts no sooner than so long after
another, and why; the solution itself keeps every tie given here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.plan import EquipmentId, StepId, can_share
from kitchend.core.timeline import Hold
from kitchend.planning.critical_path import Link
from kitchend.planning.problem import Problem, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A link between two steps, what kind of hold it is, and over which equipment."""

    link: Link[StepId]
    hold: Hold
    equipment: EquipmentId | None = None


def ties_of(
    tasks: Sequence[Task], starts: Mapping[StepId, int], problem: Problem, cooks: Mapping[StepId, int]
) -> tuple[Tie, ...]:
    """Every reason why a task could not start sooner after another; only ties the solution keeps."""
    found = [*_order(tasks, problem), *_hands(tasks, starts, problem, cooks)]
    for name in dict.fromkeys(use.equipment for task in tasks for use in task.uses):
        found += _places(tasks, starts, name, problem.places(name))
        found += _oven(tasks, starts, name)
    return tuple(tie for tie in found if _is_kept(tie.link, starts))


def _is_kept(link: Link[StepId], starts: Mapping[StepId, int]) -> bool:
    """Facts may have broken some."""
    return starts[link.earlier] + link.lag <= starts[link.later] and link.earlier != link.later


def _order(tasks: Sequence[Task], problem: Problem) -> Iterator[Tie]:
    known = {task.id: task for task in tasks}
    for task in tasks:
        for before in task.after:
            lag = known[before].length_s + problem.gap_s(known[before], task)
            yield Tie(link=Link(before, task.id, lag), hold=Hold.STEP)
        if task.during is not None and task.during in known:
            yield Tie(link=Link(task.during, task.id, task.at_s), hold=Hold.STEP)


def _hands(
    tasks: Sequence[Task], starts: Mapping[StepId, int], problem: Problem, cooks: Mapping[StepId, int]
) -> Iterator[Tie]:
    """Each pair of hands goes from one task to the next."""
    last: dict[int, Task] = {}
    busy = [task for task in tasks if task.hands_s > 0 and not task.is_over]
    for task in sorted(busy, key=lambda task: (starts[task.id], task.id)):
        before = last.get(cooks[task.id])
        if before is not None:
            lag = before.hands_s + problem.settings.answer_s
            yield Tie(link=Link(before.id, task.id, lag), hold=Hold.HANDS)
        last[cooks[task.id]] = task


def _places(
    tasks: Sequence[Task], starts: Mapping[StepId, int], name: EquipmentId, places: int
) -> Iterator[Tie]:
    """Each place of a piece of equipment goes from one task to the next; of several that are free the one
    that was free first, so that nothing seems to wait for a place where another was free before.
    """
    last: list[Task | None] = [None] * places
    for task in sorted(tasks, key=lambda task: (starts[task.id], task.id)):
        count = max((use.places for use in task.uses if use.equipment == name), default=0)
        if count == 0 or task.is_over:
            continue
        ends = {s: -(10**9) if b is None else starts[b.id] + b.length_s for s, b in enumerate(last)}
        spots = sorted((s for s in ends if ends[s] <= starts[task.id]), key=lambda s: ends[s])
        for spot in spots[:count]:
            before = last[spot]
            if before is not None:
                yield _after_end(before, task, name)
            last[spot] = task


def _oven(tasks: Sequence[Task], starts: Mapping[StepId, int], name: EquipmentId) -> Iterator[Tie]:
    """What needs another temperature waits until the oven is free of the one before."""
    uses = [(task, use.at.celsius) for task in tasks for use in task.uses if use.equipment == name and use.at]
    for task, celsius in uses:
        for other, other_c in uses:
            ends = starts[other.id] + other.length_s
            if not can_share(celsius, other_c) and ends <= starts[task.id] and not other.is_over:
                yield _after_end(other, task, name)


def _after_end(before: Task, task: Task, name: EquipmentId) -> Tie:
    return Tie(link=Link(before.id, task.id, before.length_s), hold=Hold.EQUIPMENT, equipment=name)
