"""Makes a good answer to a large problem better: a few steps are freed at a time, the others stay (LNS).

After P. Shaw, Using Constraint Programming and Local Search Methods to Solve Vehicle Routing Problems, CP98,
LNCS 1520. Freed are now the steps of a few dishes, now those around one moment. An answer never gets worse,
nothing is proved, and the same problem is polished in the same way every time.
"""

from __future__ import annotations

import random

from kitchend.core.plan import StepId
from kitchend.planning.model import DinnerModel
from kitchend.planning.problem import Task
from kitchend.planning.solver import Found, Term, Way

_SEED = 7
_DISHES = 4
_STEPS = 16
_ROUND_EFFORT = 0.01
_ROUND_COST = 0.003
"""What a round costs at least, in the solver's units: most of it is making the model small."""


def polished(model: DinnerModel, best: Found, terms: list[Term], *, effort: float, seconds: float) -> Found:
    """An answer at least as good as `best` by the sum of `terms`, which the model must be minimising."""
    tasks = [task for task in model.problem.tasks if not task.is_fact]
    solver, chance = model.model, random.Random(_SEED)
    until = solver.spent + effort
    while solver.spent < until and len(tasks) > _STEPS:
        least = solver.spent + _ROUND_COST
        model.hint(best)
        with model.only_free(_freed(model, best, tasks, chance), best):
            found = solver.solve(effort=_ROUND_EFFORT, seconds=seconds, way=Way.SMALL_SUM)
        if found is not None and found.total(terms) <= best.total(terms):
            best = found
        solver.spent = max(solver.spent, least)
    return best


def _freed(model: DinnerModel, best: Found, tasks: list[Task], chance: random.Random) -> frozenset[StepId]:
    if chance.random() < 0.5:
        dishes = list(dict.fromkeys(task.step.dish for task in tasks))
        picked = chance.sample(dishes, min(len(dishes), _DISHES))
        return frozenset(task.id for task in tasks if task.step.dish in picked)
    starts = model.solution(best).starts
    moment = starts[chance.choice(tasks).id]

    def away(task: Task) -> int:
        start = starts[task.id]
        return min(abs(start - moment), abs(start + task.length_s - moment))

    return frozenset(task.id for task in sorted(tasks, key=away)[:_STEPS])
