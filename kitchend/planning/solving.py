"""From a Problem to a Solution, whatever happens: the wishes in their order, else list scheduling.

The order is fixed: the pass is met; nothing stands longer than it keeps; nothing is called while the hands
are busy; what stands stands as short as possible, what suffers most first; calls are half a minute apart
where that costs nothing; hot work is as late as it can be. Each wish, once as good as it can be, is a bound
for all after.
"""

from __future__ import annotations

from kitchend.core.plan import StepId
from kitchend.planning.listing import listed_plan
from kitchend.planning.model import DinnerModel, Solution, Wish
from kitchend.planning.problem import Problem
from kitchend.planning.solver import Found, Term, Way
from kitchend.planning.units import Scale, in_seconds, in_units, scale_of

_GUESSED_TASKS = 40
_MOST_TASKS = 300
_MOST_HEATED = 50
"""Uses of ovens: each is set against each pair of others."""
_ALL_WISHES = 1.5
_LEAST_EFFORT = 0.005
_FINE = 0.3
"""The last wishes are worth this part of the effort that the others are."""


def solved(problem: Problem) -> Solution:
    """The best solution within the settings' limits; never fails."""
    if _is_too_large(problem):
        return listed_plan(problem)
    scale = scale_of(problem)
    found = _counted(problem, scale)
    if found is not None and scale.first_s and found.pass_s > (problem.serve_s or 0):
        # Late: then the chain begins now, and moments are counted from now, not from the pass.
        found = _counted(problem, Scale(scale.unit)) or found
    return listed_plan(problem) if found is None else found


def _is_too_large(problem: Problem) -> bool:
    """Whether only to write the model down would take seconds."""
    heated = sum(use.at is not None for task in problem.tasks for use in task.uses)
    return len(problem.tasks) > _MOST_TASKS or heated > _MOST_HEATED


def _counted(problem: Problem, scale: Scale) -> Solution | None:
    found = _Search(in_units(problem, scale)).solution()
    return None if found is None else in_seconds(found, scale)


def _first_guess(problem: Problem) -> dict[StepId, int]:
    """Where a large plan is looked for first, so that a search that runs out of effort has something to
    give.
    """
    return listed_plan(problem).starts if len(problem.tasks) > _GUESSED_TASKS else {}


class _Search:
    """One model, searched wish by wish; the gap is that of the first wish not proved, down to the
    standing.
    """

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._model = DinnerModel(problem)
        self._model.hint_starts(_first_guess(problem))
        self._best: Found | None = None
        self._gap: float | None = 0.0
        self._first_spent = 0.0

    def solution(self) -> Solution | None:
        """The wishes in their order; None if not even a first answer was found."""
        first, *musts = self._model.musts()
        self._find(first)
        for wish in (*musts, *self._model.likings()):
            self._grant(wish)
        return self.so_far()

    def so_far(self) -> Solution | None:
        """The best answer yet."""
        return None if self._best is None else self._model.solution(self._best, self._gap)

    def _find(self, wish: Wish) -> None:
        """A first answer, by the first wish alone. The least length of a project may take its time."""
        settings = self._problem.settings
        is_length = self._problem.serve_s is None and not self._model.may_overrun
        self._model.model.minimize(wish.terms)
        self._best = self._model.model.solve(
            effort=settings.length_effort if is_length else settings.effort,
            seconds=settings.seconds_limit,
            way=Way.SUM if self._model.may_overrun else Way.LENGTH,
        )
        self._first_spent = self._model.model.spent
        self._note_gap(self._best, wish.terms)
        self._bind(wish)

    def _grant(self, wish: Wish) -> None:
        """One more wish made as good as it can be, from the best so far."""
        if self._best is None:
            return
        settings = self._problem.settings
        if self._best.total(wish.terms) != wish.least:
            self._model.model.minimize(wish.terms)
            self._model.hint(self._best)
            better = self._model.model.solve(
                effort=self._effort(settings.effort * (_FINE if wish.is_fine else 1)),
                seconds=settings.seconds_limit,
                way=Way.REFINED_SUM,
            )
            if not wish.is_fine:
                self._note_gap(better, wish.terms)
            self._best = better or self._best
        self._bind(wish)

    def _effort(self, wanted: float) -> float:
        """What is left for one wish: all wishes after the first search share what one and a half would
        get.
        """
        left = _ALL_WISHES * self._problem.settings.effort - (self._model.model.spent - self._first_spent)
        return max(_LEAST_EFFORT, min(wanted, left))

    def _bind(self, wish: Wish) -> None:
        if self._best is not None:
            self._model.keep(wish.terms, self._best.total(wish.terms))

    def _note_gap(self, found: Found | None, terms: list[Term]) -> None:
        """How far the best so far may be from the best there is, if it is the first not proved."""
        if self._best is None or self._gap != 0 or (found is not None and found.is_proved):
            return
        value = (found or self._best).total(terms)
        self._gap = (value - found.bound) / max(1, abs(value)) if found is not None else None
