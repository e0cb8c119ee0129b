"""A bound no plan of a dinner can be below: how long things stand at the least, each as much as it matters.

Hands and places are given a price a moment instead of a limit (Lagrangian relaxation); what is left falls apart
into trees of steps that lead to the pass, and the best moments for a tree are found exactly, one step after the
other. Any prices of zero or more give a bound; good ones are sought by the subgradient method (M. L. Fisher, The
Lagrangian Relaxation Method for Solving Integer Programming Problems, Management Science 27, 1981). Ovens'
temperatures and calls are left out, which only lowers the bound.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kitchend.core.plan import StepId
from kitchend.planning.earliest import earliest_of
from kitchend.planning.problem import Problem, Task, weight_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

_ROUNDS = 200
_PATIENCE = 8
_MOST_MOMENTS = 2500
_SAFETY = 1e-9


@dataclass(frozen=True, slots=True)
class _Link:
    """What a step's result stands for: the start of another step, or the pass where there is none."""

    task: Task
    until: Task | None
    gap_s: int
    weight: int

    @property
    def most_s(self) -> int | None:
        """The longest it may stand; None for ever."""
        return None if self.task.keeps_s is None else max(self.task.keeps_s, self.gap_s)


@dataclass(frozen=True, slots=True)
class _Resource:
    """So much there is of something, and who takes how much of it for how long from the start on."""

    room: int
    takes: tuple[tuple[StepId, int, int], ...]


def least_standing(problem: Problem, pass_s: int, known: int) -> int | None:
    """What `known`, the weighed standing of a plan found, cannot be bettered below, if nothing stands longer
    than it keeps and the pass is at `pass_s`. None where there are too many moments, or a dinner is on.

    `known` only tells how far to step when prices are sought.
    """
    if pass_s > _MOST_MOMENTS or problem.hot or any(task.is_fact for task in problem.tasks):
        return None
    links = list(_links(problem))
    trees = _Trees(problem, links, pass_s)
    return None if trees.is_empty else _best_price(trees, list(_resources(problem)), known)


def _links(problem: Problem) -> Iterator[_Link]:
    for task in problem.tasks:
        for before in (problem.task(step) for step in task.after):
            if before.during is None:
                yield _Link(before, task, problem.gap_s(before, task), weight_of(before, problem))
        if task.is_last:
            yield _Link(task, None, 0, weight_of(task, problem))


def _resources(problem: Problem) -> Iterator[_Resource]:
    answer = problem.settings.answer_s
    hands = [(task.id, task.hands_s + answer, 1) for task in problem.tasks if task.hands_s > 0]
    if len(hands) > problem.pairs_of_hands:
        yield _Resource(problem.pairs_of_hands, tuple(hands))
    for name in dict.fromkeys(use.equipment for task in problem.tasks for use in task.uses):
        places = problem.places(name)
        taken = tuple(
            (task.id, task.length_s, min(use.places, places))
            for task in problem.tasks
            for use in task.uses
            if use.equipment == name and use.places > 0
        )
        if sum(count for _, _, count in taken) > places:
            yield _Resource(places, taken)


def _best_price(trees: _Trees, resources: Sequence[_Resource], known: int) -> int:
    import numpy as np

    prices = [np.zeros(trees.moments) for _ in resources]
    best, step, since = -math.inf, 1.0, 0
    for _ in range(_ROUNDS):
        cost = trees.costs(resources, prices)
        value, starts = trees.solved(cost)
        value -= sum(one.room * float(price.sum()) for one, price in zip(resources, prices, strict=True))
        since = 0 if value > best + _SAFETY * abs(best if best > -math.inf else 1.0) else since + 1
        best = max(best, value)
        if since >= _PATIENCE:
            step, since = step / 2, 0
        over = [trees.taken(one, starts) - one.room for one in resources]
        length = sum(float((one * one).sum()) for one in over)
        if length == 0 or known <= best or step < 1e-3:
            break
        pace = step * (1.02 * known - value) / length
        prices = [np.maximum(0.0, price + pace * one) for price, one in zip(prices, over, strict=True)]
    return max(0, math.ceil(best - 1e-6 * max(1.0, abs(best))))


@dataclass
class _Trees:
    """Every step with the one thing it is tied to, so that the best moments are found step by step."""

    problem: Problem
    links: Sequence[_Link]
    pass_s: int
    moments: int = field(init=False)
    is_empty: bool = field(init=False)

    def __post_init__(self) -> None:
        self.moments = self.pass_s + 1
        self._earliest = earliest_of(self.problem)
        self._tied: dict[StepId, _Link] = {}
        self._fixed = 0
        for link in self.links:
            known = self._tied.get(link.task.id)
            if known is None or (known.weight, known.until is not None) < (
                link.weight,
                link.until is not None,
            ):
                self._tied[link.task.id] = link
        counted = [link for link in self.links if link.task.keeps_s is not None]
        self._fixed = sum(
            link.weight * link.gap_s for link in counted if self._tied[link.task.id] is not link
        )
        self._order = self._leaves_first()
        self.is_empty = not counted or self._order is None

    def _leaves_first(self) -> list[Task] | None:
        """Every step behind all that are tied to it; None where they go in a circle."""
        left = {task.id: task for task in self.problem.tasks}
        waits: dict[StepId, int] = dict.fromkeys(left, 0)
        for link in self._tied.values():
            if link.until is not None:
                waits[link.until.id] += 1
        free = [step for step, count in waits.items() if count == 0]
        ordered = []
        while free:
            step = free.pop()
            ordered.append(left[step])
            link = self._tied.get(step)
            if link is not None and link.until is not None:
                waits[link.until.id] -= 1
                if waits[link.until.id] == 0:
                    free.append(link.until.id)
        return ordered if len(ordered) == len(left) else None

    def costs(
        self, resources: Sequence[_Resource], prices: Sequence[NDArray[Any]]
    ) -> dict[StepId, NDArray[Any]]:
        """What each step pays for hands and places, by the moment it starts."""
        import numpy as np

        paid = {task.id: np.zeros(self.moments) for task in self.problem.tasks}
        for one, price in zip(resources, prices, strict=True):
            summed = np.concatenate([[0.0], np.cumsum(price)])
            for step, length, count in one.takes:
                ends = np.minimum(np.arange(self.moments) + length, self.moments)
                paid[step] += count * (summed[ends] - summed[:-1])
        return paid

    def solved(self, cost: dict[StepId, NDArray[Any]]) -> tuple[float, dict[StepId, int]]:
        """The least sum of standing and prices, and a start of every step that has it."""
        import numpy as np

        total, roots = float(self._fixed), []
        chosen: dict[StepId, NDArray[Any]] = {}
        for task in self._order or ():
            own = cost[task.id]
            own[: self._earliest[task.id]] = np.inf
            last = self.pass_s - task.before_pass_s - task.length_s
            own[max(0, last + 1) :] = np.inf
            link = self._tied.get(task.id)
            if link is None or link.until is None:
                roots.append(task)
                total += self._root(task, link, own, chosen)
            else:
                cost[link.until.id] += self._before(task, link, own, chosen)
        return total, self._starts(roots, chosen)

    def _root(
        self, task: Task, link: _Link | None, own: NDArray[Any], chosen: dict[StepId, NDArray[Any]]
    ) -> float:
        import numpy as np

        whole = own
        if link is not None and task.keeps_s is not None:
            stands = self.pass_s - task.before_pass_s - task.length_s - np.arange(self.moments)
            whole = np.where(stands <= (link.most_s or 0), own + link.weight * stands, np.inf)
        place = int(whole.argmin())
        chosen[task.id] = np.array([place])
        return float(whole[place])

    def _before(
        self, task: Task, link: _Link, own: NDArray[Any], chosen: dict[StepId, NDArray[Any]]
    ) -> NDArray[Any]:
        """The least this step and all tied to it cost, by the start of what it is tied to."""
        import numpy as np

        weight = link.weight if task.keeps_s is not None else 0
        moments = np.arange(self.moments)
        whole = own - weight * (moments + task.length_s)
        lag = task.length_s + link.gap_s
        least, places = _least_within(whole, None if link.most_s is None else link.most_s - link.gap_s)
        result, picked = np.full(self.moments, np.inf), np.zeros(self.moments, dtype=int)
        if lag < self.moments:
            result[lag:] = least[: self.moments - lag]
            picked[lag:] = places[: self.moments - lag]
        chosen[task.id] = picked
        return result + weight * moments

    def _starts(self, roots: Sequence[Task], chosen: dict[StepId, NDArray[Any]]) -> dict[StepId, int]:
        starts = {task.id: int(chosen[task.id][0]) for task in roots}
        for task in reversed(self._order or ()):
            if task.id not in starts:
                until = self._tied[task.id].until
                assert until is not None
                starts[task.id] = int(chosen[task.id][starts[until.id]])
        return starts

    def taken(self, resource: _Resource, starts: dict[StepId, int]) -> NDArray[Any]:
        """How much of something is taken at every moment."""
        import numpy as np

        steps = np.zeros(self.moments + 1)
        for step, length, count in resource.takes:
            steps[starts[step]] += count
            steps[min(self.moments, starts[step] + length)] -= count
        return np.asarray(np.cumsum(steps)[:-1])


def _least_within(values: NDArray[Any], width: int | None) -> tuple[NDArray[Any], NDArray[Any]]:
    """The least of the last `width` + 1 values at every place (of all so far without a width), and where."""
    import numpy as np

    if width is None or width + 1 >= len(values):
        least = np.minimum.accumulate(values)
    else:
        padded = np.concatenate([np.full(width, np.inf), values])
        least = np.lib.stride_tricks.sliding_window_view(padded, width + 1).min(axis=1)
        where = np.lib.stride_tricks.sliding_window_view(padded, width + 1).argmin(axis=1)
        return least, np.arange(len(values)) - width + where
    is_new = values <= least
    return least, np.maximum.accumulate(np.where(is_new, np.arange(len(values)), 0))
