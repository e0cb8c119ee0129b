"""From a Problem to a Solution, whatever happens: the wishes in their order, else list scheduling.

The order is fixed: the pass is met; nothing stands longer than it keeps; nothing is called while the hands
are busy; what stands stands as short as possible, what suffers most first; calls are half a minute apart
where that costs nothing; hot work is as late as it can be. Each wish, once as good as it can be, is a bound
for all after.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.plan import StepId
from kitchend.planning.before import as_it_was, can_be_as_it_was, near_as_it_was
from kitchend.planning.cheapest import Cheap, closed, found_where_cheap, put_back
from kitchend.planning.listing import listed_plan
from kitchend.planning.model import DinnerModel, Solution, Wish
from kitchend.planning.polishing import polished
from kitchend.planning.problem import Problem
from kitchend.planning.solver import Found, Model, Term, Way
from kitchend.planning.units import Scale, has_begun, in_seconds, in_units, scale_of

_LARGE = 40
"""From here on a search that proves nothing is left early for polishing, and begins at a guess."""
_SEARCH_PART = 0.35
_BELOW_PART = 0.3
"""The part of a must's effort spent from below: that proves much, and often finds the least at once."""
_MOST_TASKS = 300
_MOST_HEATED = 50
"""Uses of ovens: each is set against each pair of others."""
_ALL_WISHES = 1.5
_LEAST_EFFORT = 0.005
_LEAST_POLISHING = 0.05
_NEAR_EFFORT = 0.003


def solved(problem: Problem) -> Solution:
    """The best solution within the settings' limits; never fails."""
    if _is_too_large(problem):
        return listed_plan(problem)
    scale = scale_of(problem)
    found = _counted(problem, scale)
    is_late = found is not None and found.pass_s > (problem.serve_s or 0)
    if is_late and scale.first_s and not has_begun(problem):
        # Late: then the chain begins now, and moments are counted from now, not from the pass.
        found = _counted(problem, Scale(scale.unit)) or found
    return listed_plan(problem) if found is None else found


def _is_too_large(problem: Problem) -> bool:
    """Whether only to write the model down would take seconds."""
    heated = sum(use.at is not None for task in problem.tasks for use in task.uses)
    return len(problem.tasks) > _MOST_TASKS or heated > _MOST_HEATED


def _free_in(problem: Problem) -> int:
    """How many steps are to be planned."""
    return sum(not task.is_fact for task in problem.tasks)


def _counted(problem: Problem, scale: Scale) -> Solution | None:
    found = _Search(in_units(problem, scale)).solution()
    return None if found is None else in_seconds(found, scale, problem)


def _first_guess(problem: Problem) -> dict[StepId, int]:
    """Where a large plan is looked for first, so that a search that runs out of effort has something to
    give.
    """
    return listed_plan(problem).starts if _free_in(problem) > _LARGE else {}


class _Search:
    """One model, searched wish by wish; the gap is that of the first wish not proved, down to the
    standing.
    """

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._is_large = _free_in(problem) > _LARGE
        self._is_again = problem.was_planned and not self._is_large
        self._model = DinnerModel(problem)
        self._model.hint_starts(_first_guess(problem))
        self._best: Found | None = None
        self._gap: float | None = 0.0
        self._first_spent = 0.0

    def solution(self) -> Solution | None:
        """The wishes in their order; None if not even a first answer was found."""
        if self._stands():
            return self.so_far()
        first, *musts = self._model.musts()
        if self._is_large:
            self._find(first)
        if not self._is_untroubled():
            if not self._is_large:
                self._find(first)
            self._repair(musts)
            for wish in musts:
                self._grant(wish)
            self._like()
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
            way=self._first_way(),
        )
        self._first_spent = self._model.model.spent
        self._note_gap(self._best, wish.terms)
        self._bind(wish)

    def _first_way(self) -> Way:
        if not self._model.may_overrun:
            return Way.LENGTH
        return Way.MOMENT_AGAIN if self._is_again and self._problem.serve_s is not None else Way.SUM

    def _way(self) -> Way:
        if self._is_large:
            return Way.REFINED_SUM
        if self._is_again:
            return Way.SUM_AGAIN
        return Way.QUEUE_SUM if self._problem.pairs_of_hands == 1 else Way.SMALL_SUM

    def _grant(self, wish: Wish) -> None:
        """One more wish made as good as it can be, from the best so far."""
        if self._best is None:
            return
        settings = self._problem.settings
        if self._best.total(wish.terms) != wish.least:
            better = self._made_least(wish.terms, self._best, self._effort(settings.effort))
            if better is not None and better.total(wish.terms) > self._best.total(wish.terms):
                better = replace(self._best, is_proved=False, bound=better.bound)
            self._note_gap(better, wish.terms)
            self._best = better or self._best
        self._bind(wish)

    def _stands(self) -> bool:
        """Whether the timeline before, made for the same pass, still does: then nothing moves."""
        if not can_be_as_it_was(self._model):
            return False
        with as_it_was(self._model):
            return self._like()

    def _is_untroubled(self) -> bool:
        """Whether a dinner was found in which no must is amiss; mostly there is one."""
        if self._problem.serve_s is None:
            return False
        with self._model.without_trouble():
            is_near = self._is_near([self._likings().terms])
            cheap = found_where_cheap(self._model) if self._is_large else None
            if cheap is not None:
                self._perfect(cheap)
                return True
            is_liked = self._like()
        if is_near and not is_liked:
            self._gap = None
        return is_near or is_liked

    def _perfect(self, cheap: Cheap) -> None:
        """The answer found where it is cheap, polished by all likings; the gap is to the prices' bound."""
        model, terms = self._model, self._likings().terms
        seconds = self._problem.settings.seconds_limit
        model.model.minimize(terms)
        later = put_back(model, cheap.found)
        left = max(_LEAST_POLISHING, cheap.until - model.model.spent)
        best = polished(model, later, terms, effort=left, seconds=seconds)
        proved = closed(model, cheap, best)
        self._best = proved or best
        self._gap = cheap.gap(best) if proved is None else 0.0

    def _repair(self, musts: list[Wish]) -> None:
        """What is amiss made small near where the timeline before had things."""
        standing = self._model.likings()[:1]
        together = _Total(self._model.model, [*musts, *standing]).terms
        self._is_near([*(wish.terms for wish in musts), together])

    def _is_near(self, wishes: list[list[Term]]) -> bool:
        """Whether an answer was found near where the timeline before had things, by these wishes in turn:
        what has to move does, and little else. Searches that begin there end sooner.
        """
        if not self._problem.was_planned:
            return False
        with near_as_it_was(self._model):
            found = [self._begun_near(terms) for terms in wishes]
        return any(found)

    def _begun_near(self, terms: list[Term]) -> bool:
        found = self._searched(terms, _NEAR_EFFORT)
        self._best = found or self._best
        return found is not None

    def _likings(self) -> _Total:
        return _Total(self._model.model, self._model.likings())

    def _like(self) -> bool:
        """All likings in one search, which is quicker than one after the other; whether anything was
        found.
        """
        total = self._likings()
        found = (
            self._searched(total.terms, self._effort(self._problem.settings.effort)) if total.terms else None
        )
        if found is not None:
            self._best = found
            if self._gap == 0 and not total.is_fine:
                self._gap = total.gap_of_first(found)
        return found is not None

    def _searched(self, terms: list[Term], effort: float) -> Found | None:
        """The best by these terms from the best so far: in a large problem found first, then polished."""
        model, seconds = self._model, self._problem.settings.seconds_limit
        model.model.minimize(terms)
        if self._best is not None:
            model.hint(self._best)
        first = effort * _SEARCH_PART if self._is_large else effort
        found = model.model.solve(effort=first, seconds=seconds, way=self._way())
        if found is None or found.is_proved or not self._is_large:
            return found
        better = polished(model, found, terms, effort=effort - first, seconds=seconds)
        return replace(better, is_proved=False, bound=found.bound)

    def _made_least(self, terms: list[Term], best: Found, effort: float) -> Found | None:
        """The best by terms that should be nothing at all: from below first, then from the best so far."""
        if self._is_again:
            return self._searched(terms, effort)
        model, seconds = self._model, self._problem.settings.seconds_limit
        model.model.minimize(terms)
        model.hint(best)
        below = model.model.solve(effort=effort * _BELOW_PART, seconds=seconds, way=Way.SUM_FROM_BELOW)
        if below is not None and below.is_proved:
            return below
        left = effort * (1 - _BELOW_PART)
        if below is not None and below.total(terms) < best.total(terms):
            self._best = below
            if self._is_large:
                further = polished(model, below, terms, effort=left, seconds=seconds)
                return replace(further, is_proved=False, bound=below.bound)
        better = self._searched(terms, left)
        if below is None or better is None:
            return better
        return replace(better, bound=max(better.bound, below.bound))

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


class _Total:
    """Wishes as one sum: the least bit of a higher one is worth more than all there is of those below."""

    def __init__(self, model: Model, wishes: list[Wish]) -> None:
        self.terms: list[Term] = []
        self.is_fine = not wishes or wishes[0].is_fine
        self._first = wishes[0].terms if wishes else []
        self._rest_least, worth = 0, 1
        for wish in reversed(wishes):
            self._worth = worth
            self.terms += [(worth * coeff, var) for coeff, var in wish.terms]
            least, most = model.range_of(wish.terms)
            if wish is not wishes[0]:
                self._rest_least += worth * least
            worth *= most - least + 1

    def gap_of_first(self, found: Found) -> float:
        """How far the first wish may be from its best."""
        if found.is_proved:
            return 0.0
        value = found.total(self._first)
        bound = (found.bound - self._rest_least) // self._worth
        return (value - bound) / max(1, abs(value))
