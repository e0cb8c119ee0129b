"""From a Problem to a Solution, whatever happens: two searches by CP-SAT, else one thing after the other.

The first search makes what must not be as small as it can; the second, holding that, makes the rest good.
"""

from __future__ import annotations

from kitchend.planning.model import DinnerModel, Solution
from kitchend.planning.problem import Problem
from kitchend.planning.serial import one_after_the_other


def solved(problem: Problem) -> Solution:
    """The best solution within the settings' limits; never fails."""
    model = DinnerModel(problem)
    model.hint_starts()
    found = _search(model, problem)
    if found is None:
        return one_after_the_other(problem)
    return found


def least_bad(problem: Problem) -> Solution | None:
    """Only the first search: how late, and what stands too long; None if nothing was found."""
    model = DinnerModel(problem)
    model.model.minimize(model.worst_first())
    found = model.model.solve(effort=problem.settings.effort, seconds=problem.settings.seconds_limit)
    return None if found is None else model.solution(found)


def _search(model: DinnerModel, problem: Problem) -> Solution | None:
    settings = problem.settings
    worst = model.worst_first()
    model.model.minimize(worst)
    first = model.model.solve(effort=settings.effort, seconds=settings.seconds_limit)
    if first is None:
        return None
    model.keep(worst, first.total(worst))
    model.model.minimize(model.best_of_the_rest())
    model.hint(first)
    second = model.model.solve(effort=settings.effort, seconds=settings.seconds_limit, is_refining=True)
    return model.solution(second or first)
