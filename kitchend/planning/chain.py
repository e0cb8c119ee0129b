"""Slack, the chain that decides the pass, and what each step of a solved dinner waits for.

Derived from a solution and its ties and nothing else. The chain that decides a pass is the one with the least
room between now and that pass; slack is how far one start may slip from where it was planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.plan import StepId
from kitchend.core.timeline import Hold, WaitsFor
from kitchend.planning.critical_path import Link, paths
from kitchend.planning.problem import Problem, Task
from kitchend.planning.ties import Tie

_TIGHT_S = 30
"""A start this soon after it could be is waiting for just that: calls are kept half a minute apart."""
_FIRST_TOLD = (Hold.STEP, Hold.EQUIPMENT, Hold.HANDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """How far a start may slip before the pass moves or something stands too long, which passes it decides
    (by how long each is before the last), and why it is where it is.
    """

    slack_s: int
    decides: tuple[int, ...]
    waits_for: WaitsFor


def places_of(
    tasks: Sequence[Task], starts: Mapping[StepId, int], ties: Sequence[Tie], pass_s: int, problem: Problem
) -> Mapping[StepId, Place]:
    """Slack of every task, which of them decide the pass, and what each waits for."""
    links = tuple(tie.link for tie in ties)
    slack = _slack(tasks, starts, links, pass_s, problem.settings.reminder_slack_s)
    passes = sorted({task.before_pass_s for task in tasks if task.is_last}, reverse=True)
    chains = {before: _chain_to(before, tasks, links, pass_s) for before in passes}
    into: dict[StepId, list[Tie]] = {}
    for tie in ties:
        into.setdefault(tie.link.later, []).append(tie)
    return {
        task.id: Place(
            slack_s=max(0, slack[task.id]),
            decides=tuple(before for before, chain in chains.items() if task.id in chain),
            waits_for=_waits_for(task, starts, into.get(task.id, ())),
        )
        for task in tasks
    }


def _chain_to(
    before_pass_s: int, tasks: Sequence[Task], links: Sequence[Link[StepId]], pass_s: int
) -> frozenset[StepId]:
    """What has the least room between now and one pass, of all that leads to what is brought to it."""
    ends = {task.id for task in tasks if task.is_last and task.before_pass_s == before_pass_s}
    part = _leading_to(ends, links)
    # What only leads there need not be over by then; its links say when it has to begin.
    lengths = {task.id: task.length_s if task.id in ends else 0 for task in tasks if task.id in part}
    release = {task.id: task.start_s or 0 for task in tasks if task.id in part}
    inside = [link for link in links if link.later in part]
    floats = paths(lengths, inside, release=release, deadline=pass_s - before_pass_s).floats
    open_ones = [task.id for task in tasks if task.id in part and not task.is_over]
    least = min((floats[step] for step in open_ones), default=0)
    return frozenset(step for step in open_ones if floats[step] == least)


def _leading_to(ends: Iterable[StepId], links: Sequence[Link[StepId]]) -> set[StepId]:
    """These, and everything that something of them waits for."""
    earlier: dict[StepId, list[StepId]] = {}
    for link in links:
        earlier.setdefault(link.later, []).append(link.earlier)
    found, left = set(ends), list(ends)
    while left:
        for step in earlier.get(left.pop(), ()):
            if step not in found:
                found.add(step)
                left.append(step)
    return found


def _waits_for(task: Task, starts: Mapping[StepId, int], into: Sequence[Tie]) -> WaitsFor:
    """The tie that holds it: of those with no room left, order tells more than equipment, equipment than
    hands.
    """
    start = starts[task.id]
    tight = [tie for tie in into if start - starts[tie.link.earlier] - tie.link.lag <= _TIGHT_S]
    if tight and not task.is_fact:
        best = min(tight, key=lambda tie: (_FIRST_TOLD.index(tie.hold), -starts[tie.link.earlier]))
        return WaitsFor(hold=best.hold, step=best.link.earlier, equipment=best.equipment)
    at_once = task.is_fact or start <= _TIGHT_S
    return WaitsFor(hold=Hold.NOW if at_once else Hold.PASS)


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
        limits = [pass_s - task.before_pass_s - task.length_s]
        limits += [*_freshness(task, known, starts), *_patience(task, starts, slack_s)]
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
