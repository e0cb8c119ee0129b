"""What holds what in a solved dinner: who follows whom by order, hands, places, ovens; slack and the chain.

Derived from a solution and nothing else. The chain that decides is the one with the least room between now
and the pass; slack is how far one start may slip from where it was planned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.plan import StepId
from kitchend.planning.critical_path import Link, paths
from kitchend.planning.problem import Problem, Task, can_share


@dataclass(frozen=True, slots=True, kw_only=True)
class Float:
    """How far a start may slip before the pass moves or something stands too long; whether it decides."""

    slack_s: int
    is_critical: bool


def floats(
    tasks: Sequence[Task], starts: Mapping[StepId, int], pass_s: int, problem: Problem
) -> Mapping[StepId, Float]:
    """Slack of every task and which of them decide the pass."""
    links = tuple(_kept(links_of(tasks, starts, problem), starts))
    durations = {task.id: task.length_s for task in tasks}
    release = {task.id: task.start_s if task.start_s is not None else task.earliest_s for task in tasks}
    early = paths(durations, links, release=release, deadline=pass_s)
    slack = _slack(tasks, starts, links, pass_s, problem.settings.reminder_slack_s)
    free = [early.floats[task.id] for task in tasks if not task.is_over]
    least = min(free, default=0)
    return {
        task.id: Float(
            slack_s=max(0, slack[task.id]),
            is_critical=not task.is_over and early.floats[task.id] == least,
        )
        for task in tasks
    }


def links_of(tasks: Sequence[Task], starts: Mapping[StepId, int], problem: Problem) -> Iterator[Link[StepId]]:
    """Every reason why a task could not start sooner after another in this solution."""
    known = {task.id: task for task in tasks}
    answer = problem.settings.answer_s
    for task in tasks:
        for before in task.after:
            gap = 0 if known[before].is_over else answer
            yield Link(before, task.id, known[before].length_s + gap)
        if task.during is not None and task.during in known:
            yield Link(task.during, task.id, task.at_s)
    yield from _hands(tasks, starts, max(1, problem.cooks), answer)
    for name in dict.fromkeys(use.equipment for task in tasks for use in task.uses):
        yield from _places(tasks, starts, name, max(1, problem.place(name).places))
        yield from _oven(tasks, starts, name)


def _kept(links: Iterator[Link[StepId]], starts: Mapping[StepId, int]) -> Iterator[Link[StepId]]:
    """Only links that the solution itself keeps: facts may have broken some."""
    for link in links:
        if starts[link.earlier] + link.lag <= starts[link.later] and link.earlier != link.later:
            yield link


def _hands(
    tasks: Sequence[Task], starts: Mapping[StepId, int], cooks: int, answer: int
) -> Iterator[Link[StepId]]:
    """Each pair of hands goes from one task to the next."""
    last: list[Task | None] = [None] * cooks
    for task in sorted(tasks, key=lambda task: (starts[task.id], task.id)):
        if task.is_over or task.hands_s + answer == 0:
            continue
        spot = _free_spot(last, starts, task, answer)
        before = last[spot]
        if before is not None:
            yield Link(before.id, task.id, before.hands_s + answer)
        last[spot] = task


def _free_spot(last: list[Task | None], starts: Mapping[StepId, int], task: Task, answer: int) -> int:
    ends = [-1 if b is None else starts[b.id] + b.hands_s + answer for b in last]
    free = [spot for spot, end in enumerate(ends) if end <= starts[task.id]]
    return max(free, key=lambda spot: ends[spot]) if free else min(range(len(ends)), key=lambda s: ends[s])


def _places(
    tasks: Sequence[Task], starts: Mapping[StepId, int], name: str, places: int
) -> Iterator[Link[StepId]]:
    """Each place of a piece of equipment goes from one task to the next."""
    last: list[Task | None] = [None] * places
    for task in sorted(tasks, key=lambda task: (starts[task.id], task.id)):
        count = max((use.places for use in task.uses if use.equipment == name), default=0)
        ends = {s: -(10**9) if b is None else starts[b.id] + b.length_s for s, b in enumerate(last)}
        spots = sorted((s for s in ends if ends[s] <= starts[task.id]), key=lambda s: -ends[s])
        for spot in spots[: 0 if task.is_over else count]:
            before = last[spot]
            if before is not None:
                yield Link(before.id, task.id, before.length_s)
            last[spot] = task


def _oven(tasks: Sequence[Task], starts: Mapping[StepId, int], name: str) -> Iterator[Link[StepId]]:
    """What needs another temperature waits until the oven is free of the one before."""
    uses = [(task, use.at.celsius) for task in tasks for use in task.uses if use.equipment == name and use.at]
    for task, celsius in uses:
        for other, other_c in uses:
            ends = starts[other.id] + other.length_s
            if not can_share(celsius, other_c) and ends <= starts[task.id] and not other.is_over:
                yield Link(other.id, task.id, other.length_s)


def _slack(
    tasks: Sequence[Task],
    starts: Mapping[StepId, int],
    links: Sequence[Link[StepId]],
    pass_s: int,
    slack_s: int,
) -> dict[StepId, int]:
    """From the pass backwards: how late each may start, with all planned before it where it is."""
    known = {task.id: task for task in tasks}
    out: dict[StepId, list[Link[StepId]]] = {}
    for link in links:
        out.setdefault(link.earlier, []).append(link)
    latest: dict[StepId, int] = {}
    for task in sorted(tasks, key=lambda task: (-starts[task.id], task.id)):
        limits = [pass_s - task.length_s, *_freshness(task, known, starts), *_patience(task, starts, slack_s)]
        limits += [latest.get(link.later, starts[link.later]) - link.lag for link in out.get(task.id, ())]
        latest[task.id] = min(limits)
    return {task.id: latest[task.id] - starts[task.id] for task in tasks}


def _patience(task: Task, starts: Mapping[StepId, int], slack_s: int) -> Iterator[int]:
    """A mid-step reminder may come a little late and no later."""
    if task.during is not None and task.during in starts:
        yield max(starts[task.during] + task.at_s + slack_s, starts[task.id])


def _freshness(task: Task, known: Mapping[StepId, Task], starts: Mapping[StepId, int]) -> Iterator[int]:
    for before in (known[step] for step in task.after):
        if before.keeps_s is not None and before.during is None and not before.step.added:
            stood = starts[before.id] + before.length_s + before.keeps_s
            yield max(stood, starts[task.id])
