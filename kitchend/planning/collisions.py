"""The smallest set of things that collide in a dinner that cannot be had as asked.

What a dinner wants is taken apart into single wants: the pass, each `keeps`, each step's hands, each use of
equipment. Wants are let go one after the other; whatever makes no difference is not part of the collision.
What is left cannot be had together, and without any one of it the rest could be: every member was shown to
be needed. Only where the effort runs out may a want be left that is not needed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from kitchend.core.plan import EquipmentId, StepId
from kitchend.planning.model import DinnerModel
from kitchend.planning.problem import Problem, Task
from kitchend.planning.solver import Found

_COST_OF_BUILDING = 1e-5
"""Effort counted for making one model, times the number of steps squared."""


class Of(Enum):
    """What kind of thing is wanted."""

    PASS = "pass"
    KEEPS = "keeps"
    HANDS = "hands"
    USE = "use"


@dataclass(frozen=True, slots=True)
class Want:
    """One thing the dinner wants: of which step, and of which equipment."""

    of: Of
    step: StepId | None = None
    equipment: EquipmentId | None = None


class Judge:
    """Says whether dinners can be had, within one effort for all questions together."""

    def __init__(self, effort: float) -> None:
        self._left = effort

    def part(self, share: float) -> Judge:
        """Another with this share of what is left; this one keeps the rest."""
        given = max(0.0, self._left) * share
        self._left -= given
        return Judge(given)

    def can_be(self, problem: Problem) -> bool | None:
        """Whether nothing need be late or stand too long, but for what is not worth words; None: not
        known.
        """
        least = problem.settings.explain_from_s
        self._left -= _COST_OF_BUILDING * len(problem.tasks) ** 2
        if self._left <= 0:
            return None
        model = DinnerModel(problem)
        model.forbid_trouble(least - 1)
        effort = min(self._left, problem.settings.effort)
        answer = model.model.can_be(effort=effort, seconds=problem.settings.seconds_limit)
        self._left -= model.model.spent
        return answer

    def least(self, model: DinnerModel) -> Found | None:
        """The least of what a model minimises, if it is found within what is left of the effort."""
        if self._left <= 0:
            return None
        settings = model.problem.settings
        effort = min(self._left, settings.effort)
        found = model.model.solve(effort=effort, seconds=settings.seconds_limit)
        self._left -= model.model.spent
        return found


def collision_of(problem: Problem, judge: Judge) -> tuple[Want, ...]:
    """A smallest set of wants that cannot be had together; empty if it is not known that they cannot.

    Smallest in that none of them can be left out. First whole kinds are let go, then single wants.
    """
    if judge.can_be(problem) is not False:
        return ()
    wants = tuple(wants_of(problem))
    for group in _groups(wants):
        wants = _without(problem, wants, group, judge)
    for want in wants:
        wants = _without(problem, wants, (want,), judge)
    return wants


def _without(
    problem: Problem, wants: tuple[Want, ...], some: Sequence[Want], judge: Judge
) -> tuple[Want, ...]:
    """The wants without some of them, if what is left still cannot be had."""
    left = tuple(want for want in wants if want not in some)
    if len(left) == len(wants) or judge.can_be(only(problem, left)) is not False:
        return wants
    return left


def wants_of(problem: Problem) -> Iterator[Want]:
    """Everything the dinner wants that could be let go; what has begun is a fact and wants nothing."""
    if problem.serve_s is not None:
        yield Want(Of.PASS)
    for task in problem.tasks:
        if task.is_fact:
            continue
        if task.hands_s > 0:
            yield Want(Of.HANDS, task.id)
        for use in task.uses:
            yield Want(Of.USE, task.id, use.equipment)
        if task.keeps_s is not None and task.during is None:
            yield Want(Of.KEEPS, task.id)


def _groups(wants: Sequence[Want]) -> Iterator[tuple[Want, ...]]:
    """The pass first: what collides at any pass says more. Then hands, each equipment, all `keeps`."""
    kinds = dict.fromkeys((want.of, want.equipment) for want in wants)
    order = (Of.PASS, Of.HANDS, Of.USE, Of.KEEPS)
    for of, equipment in sorted(kinds, key=lambda kind: order.index(kind[0])):
        yield tuple(want for want in wants if (want.of, want.equipment) == (of, equipment))


def only(problem: Problem, wants: Sequence[Want]) -> Problem:
    """The problem with these wants and no others."""
    kept = frozenset(wants)
    tasks = tuple(task if task.is_fact else _only(task, kept) for task in problem.tasks)
    return replace(problem, tasks=tasks, serve_s=problem.serve_s if Want(Of.PASS) in kept else None)


def _only(task: Task, kept: frozenset[Want]) -> Task:
    has_keeps = task.during is not None or Want(Of.KEEPS, task.id) in kept
    return replace(
        task,
        hands_s=task.hands_s if Want(Of.HANDS, task.id) in kept else 0,
        uses=tuple(use for use in task.uses if Want(Of.USE, task.id, use.equipment) in kept),
        keeps_s=task.keeps_s if has_keeps else None,
    )
