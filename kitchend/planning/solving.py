"""From a Problem to a Solution, whatever happens: the wishes in their order, else one thing after the other.

The order is fixed: the pass is met; nothing stands longer than it keeps; nothing is called while the hands
are busy; what stands stands as short as possible, what suffers most first; calls are half a minute apart
where that costs nothing; hot work is as late as it can be. Each wish, once as good as it can be, is a bound
for all after.
"""

from __future__ import annotations

from kitchend.planning.model import DinnerModel, Solution, Wish
from kitchend.planning.problem import Problem
from kitchend.planning.serial import one_after_the_other
from kitchend.planning.solver import Found


def solved(problem: Problem) -> Solution:
    """The best solution within the settings' limits; never fails."""
    search = _Search(problem)
    return search.solution() or one_after_the_other(problem)


def least_bad(problem: Problem) -> Solution | None:
    """Only the first search: how late, and what stands too long; None if nothing was found."""
    search = _Search(problem)
    search.first()
    return search.so_far()


class _Search:
    """One model, searched wish by wish; `gap` is that of the first wish not proved."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._model = DinnerModel(problem)
        self._model.hint_starts()
        self._best: Found | None = None
        self._gap = 0.0
        self._settled = False

    def solution(self) -> Solution | None:
        """The wishes in their order; None if not even a first answer was found."""
        self.first()
        if self._best is None:
            return None
        for wish in self._model.musts():
            if self._settled:
                self._bind(wish)
            else:
                self._grant(wish, is_refining=False)
        for wish in self._model.likings():
            self._grant(wish, is_refining=True)
        return self.so_far()

    def so_far(self) -> Solution | None:
        """The best answer yet."""
        return None if self._best is None else self._model.solution(self._best, self._gap)

    def first(self) -> None:
        """All that must not be in one sum, which is enough where nothing has to give."""
        settings = self._problem.settings
        self._model.model.minimize(self._model.worst_first())
        self._best = self._model.model.solve(effort=settings.effort, seconds=settings.seconds_limit)
        if self._best is not None and self._best.is_proved:
            self._settled = self._is_enough(self._best)

    def _is_enough(self, best: Found) -> bool:
        """Whether the sum's least is each wish's least: all but the pass are met, and it too if it was asked
        for.
        """
        open_pass = self._problem.serve_s is None
        return all(
            best.total(wish.terms) == wish.least or (open_pass and wish.least is None)
            for wish in self._model.musts()
            if not open_pass or wish.name != "busy hands"
        )

    def _grant(self, wish: Wish, *, is_refining: bool) -> None:
        if self._best is None:
            return
        settings = self._problem.settings
        if self._best.total(wish.terms) != wish.least:
            self._model.model.minimize(wish.terms)
            self._model.hint(self._best)
            better = self._model.model.solve(
                effort=settings.effort, seconds=settings.seconds_limit, is_refining=is_refining
            )
            self._take(better, wish)
        self._bind(wish)

    def _bind(self, wish: Wish) -> None:
        if self._best is not None:
            self._model.keep(wish.terms, self._best.total(wish.terms))

    def _take(self, better: Found | None, wish: Wish) -> None:
        if better is not None:
            self._best = better
        if self._best is not None and self._gap == 0 and (better is None or not better.is_proved):
            value = self._best.total(wish.terms)
            bound = 0 if better is None else better.bound
            self._gap = (value - bound) / max(1, abs(value))
