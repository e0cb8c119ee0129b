"""What is left of a dinner when nothing is shared: trees of steps, each with its window, and what they take.

In it every dish is planned by itself, which is quick and exact; hands, places and ovens' temperatures only
say who takes what and how much there is, for `prices` to put a price on. Every plan without trouble is a
plan of it, so the least it can cost is a bound. A link that would close a ring is left out, at the least it
costs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitchend.core.plan import EquipmentId, can_share
from kitchend.planning.problem import Problem, Task, weight_of

REMINDER_WEIGHT = 3
"""What a moment of lateness of a reminder costs, as in the model."""


@dataclass(frozen=True, slots=True)
class Link:
    """Two tasks by place: the later starts from `least` to `most` after the earlier; every moment beyond
    `free` costs `weight`.
    """

    earlier: int
    later: int
    least: int
    most: int
    weight: int
    free: int

    @property
    def least_cost(self) -> int:
        """What it costs however it is planned."""
        return self.weight * (self.least - self.free)


@dataclass(frozen=True, slots=True)
class Branch:
    """A task that hangs on another in its tree: it starts from `low` to `high` after that one (below 0:
    before).
    """

    task: int
    on: int
    low: int
    high: int
    link: Link


@dataclass(frozen=True, slots=True)
class Taking:
    """A task takes so much of a thing from its start for so long."""

    task: int
    thing: int
    length: int
    amount: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HotOven:
    """An oven: for each set of temperatures it can have at once the things (uses) that need one of them, how
    long it takes from a set to another (None: it is there already), and how long from cold.
    """

    cold: int
    sets: tuple[tuple[int, ...], ...]
    turns: tuple[tuple[int | None, ...], ...]
    uses: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The relaxation. Times in the problem's units from now to `moments` - 1; `end_weight` is what a moment
    from a task's end to the pass costs, counted from `high`. `capacity` is what there is of each thing, 0 of
    what only an oven gives.
    """

    tasks: tuple[Task, ...]
    moments: int
    low: tuple[int, ...]
    high: tuple[int, ...]
    latest: tuple[int, ...]
    end_weight: tuple[int, ...]
    roots: tuple[int, ...]
    branches: tuple[Branch, ...]
    takings: tuple[Taking, ...]
    capacity: tuple[int, ...]
    ovens: tuple[HotOven, ...]
    heat_hands: int
    answer: int
    constant: int


HANDS = 0
"""The first thing there is."""


def relaxed(problem: Problem) -> Relaxed | None:
    """The relaxation of a dinner not yet begun in which nothing is amiss; None where no such dinner can be,
    by order alone.
    """
    tasks, serve = problem.tasks, problem.serve_s
    if serve is None or problem.hot or any(task.is_fact for task in tasks):
        return None
    links = list(_links(problem))
    latest = [serve - task.before_pass_s - task.length_s for task in tasks]
    windows = _windows(problem, links, latest)
    if windows is None:
        return None
    kept, ring = _without_rings(links, len(tasks))
    roots, branches = _trees(kept, tasks)
    capacity, takings, ovens = _things(problem)
    return Relaxed(
        tasks=tasks,
        moments=serve + 1,
        low=tuple(windows[0]),
        high=tuple(windows[1]),
        latest=tuple(latest),
        end_weight=tuple(_end_weight(task, problem) for task in tasks),
        roots=tuple(roots),
        branches=tuple(branches),
        takings=tuple(takings),
        capacity=tuple(capacity),
        ovens=tuple(ovens),
        heat_hands=problem.settings.heat_hands_s + problem.settings.answer_s,
        answer=problem.settings.answer_s,
        constant=sum(link.least_cost for link in ring),
    )


def _end_weight(task: Task, problem: Problem) -> int:
    return weight_of(task, problem) if task.is_last and task.keeps_s is not None else 0


def _links(problem: Problem) -> Iterator[Link]:
    place = {task.id: at for at, task in enumerate(problem.tasks)}
    for later, task in enumerate(problem.tasks):
        for step in task.after:
            before, earlier = problem.task(step), place[step]
            gap, length = problem.gap_s(before, task), before.length_s
            if before.during is not None or before.keeps_s is None:
                yield Link(earlier, later, length + gap, problem.horizon_s, 0, length)
            else:
                most = length + max(before.keeps_s, gap)
                yield Link(earlier, later, length + gap, most, weight_of(before, problem), length)
        if task.during is not None:
            slack = task.at_s + problem.settings.reminder_slack_s
            yield Link(place[task.during], later, task.at_s, slack, REMINDER_WEIGHT, task.at_s)


def _windows(problem: Problem, links: list[Link], latest: list[int]) -> tuple[list[int], list[int]] | None:
    """The first and last start of each task by order and by what keeps; None where a window is empty."""
    low, high = [0] * len(latest), list(latest)
    for at, task in enumerate(problem.tasks):
        if task.is_last and task.keeps_s is not None:
            low[at] = max(0, latest[at] - task.keeps_s)
    for _ in range(2 * len(latest) + 2):
        before = (list(low), list(high))
        for link in links:
            a, b = link.earlier, link.later
            low[b], high[a] = max(low[b], low[a] + link.least), min(high[a], high[b] - link.least)
            low[a], high[b] = max(low[a], low[b] - link.most), min(high[b], high[a] + link.most)
        if any(first > last for first, last in zip(low, high, strict=True)):
            return None
        if (low, high) == before:
            break
    return low, high


def _without_rings(links: list[Link], count: int) -> tuple[list[Link], list[Link]]:
    """The links of a forest, those that cost most first, and the rest."""
    above = list(range(count))

    def top(task: int) -> int:
        while above[task] != task:
            task = above[task]
        return task

    kept: list[Link] = []
    ring: list[Link] = []
    for link in sorted(links, key=lambda link: -link.weight):
        one, other = top(link.earlier), top(link.later)
        above[one] = other
        (ring if one == other else kept).append(link)
    return kept, ring


def _trees(links: list[Link], tasks: tuple[Task, ...]) -> tuple[list[int], list[Branch]]:
    """The forest from its roots outwards, each branch after what it hangs on; what goes to the pass is a
    root.
    """
    at: list[list[Branch]] = [[] for _ in tasks]
    for link in links:
        at[link.later].append(Branch(link.earlier, link.later, -link.most, -link.least, link))
        at[link.earlier].append(Branch(link.later, link.earlier, link.least, link.most, link))
    seen: set[int] = set()
    roots: list[int] = []
    branches: list[Branch] = []
    for root in sorted(range(len(tasks)), key=lambda place: (not tasks[place].is_last, -place)):
        if root in seen:
            continue
        roots.append(root)
        seen.add(root)
        waiting = [root]
        while waiting:
            for branch in at[waiting.pop(0)]:
                if branch.task not in seen:
                    seen.add(branch.task)
                    branches.append(branch)
                    waiting.append(branch.task)
    return roots, branches


def _things(problem: Problem) -> tuple[list[int], list[Taking], list[HotOven]]:
    """What there is of each thing, who takes it, and the ovens."""
    capacity, takings = [problem.pairs_of_hands], []
    for at, task in enumerate(problem.tasks):
        if task.hands_s > 0:
            takings.append(Taking(at, HANDS, task.hands_s + problem.settings.answer_s, 1))
    ovens: list[HotOven] = []
    for name in dict.fromkeys(use.equipment for task in problem.tasks for use in task.uses):
        places = problem.places(name)
        uses = [(at, task, use) for at, task in enumerate(problem.tasks) for use in task.uses]
        uses = [(at, task, use) for at, task, use in uses if use.equipment == name]
        if sum(min(use.places, places) for _, _, use in uses) > places:
            takings += [
                Taking(at, len(capacity), task.length_s, min(use.places, places)) for at, task, use in uses
            ]
            capacity.append(places)
        hot = [(at, use.at.celsius) for at, _, use in uses if use.at is not None]
        if hot and problem.preheat_s(name) > 0:
            first = len(capacity)
            takings += [
                Taking(at, first + turn, problem.tasks[at].length_s, 1) for turn, (at, _) in enumerate(hot)
            ]
            capacity += [0] * len(hot)
            ovens.append(_oven(problem, name, [celsius for _, celsius in hot], first))
    return capacity, takings, ovens


def _oven(problem: Problem, name: EquipmentId, wanted: list[float], first: int) -> HotOven:
    """`wanted` are the temperatures of its uses, which are the things from `first` on."""
    each = sorted(set(wanted))
    alike = [tuple(c for c in each if c >= low and can_share(low, c)) for low in each]
    sets = [one for one in alike if not any(set(one) < set(other) for other in alike)]
    cold = problem.preheat_s(name)
    return HotOven(
        cold=cold,
        sets=tuple(tuple(first + turn for turn, c in enumerate(wanted) if c in one) for one in sets),
        turns=tuple(tuple(_turn(problem, cold, one, other) for other in sets) for one in sets),
        uses=len(wanted),
    )


def _turn(problem: Problem, cold: int, one: tuple[float, ...], other: tuple[float, ...]) -> int | None:
    """The least it takes from one set of temperatures to another, perhaps by way of cold; None where they
    have one in common.
    """
    if one != other and set(one) & set(other):
        return None
    apart = [problem.change_s(a, b) for a in one for b in other if not can_share(a, b)]
    return min([cold, *apart])
