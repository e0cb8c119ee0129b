"""Where the timeline before had things, as bounds for a search: steps move only when they must.

What still stands is not moved at all. What does not is looked for near where it was first.
"""

from __future__ import annotations

from contextlib import AbstractContextManager

from kitchend.planning.model import DinnerModel
from kitchend.planning.solver import Range, Var

_NEAR_S = 10 * 60
"""So far from where it was a step is looked for first: few moments to try, and mostly the best among them."""


def can_be_as_it_was(model: DinnerModel) -> bool:
    """Whether nothing that has happened speaks against the timeline before at first sight: it was made for
    the same pass, and no step would start sooner than it can.
    """
    was = _was(model)
    return model.problem.is_same_pass and bool(was) and all(at >= _soonest(model, var) for var, at in was)


def as_it_was(model: DinnerModel) -> AbstractContextManager[None]:
    """For a while, whatever is still to come is where the timeline before had it, the pass is met, and
    nothing stands longer beyond what it keeps than it did there.
    """
    starts = [(var, at, at) for var, at in _was(model)]
    return model.model.within([*model.untroubled(), *starts, *_overruns(model)])


def near_as_it_was(model: DinnerModel) -> AbstractContextManager[None]:
    """For a while, whatever is still to come starts near where the timeline before had it: no more than some
    minutes beyond what anything has to be put back.
    """
    was = _was(model)
    near = _NEAR_S // model.problem.unit_s
    back = max([0, *(_soonest(model, var) - at for var, at in was)])
    back += model.model.range_of(model.pass_terms)[0] - (model.problem.serve_s or 0)
    return model.model.within([_around(model, var, at, near, back) for var, at in was])


def _around(model: DinnerModel, var: Var, at: int, near: int, back: int) -> Range:
    low, high = model.model.range_of([(1, var)])
    return var, max(low, at - near), max(low, min(high, at + back + near))


def _overruns(model: DinnerModel) -> list[Range]:
    ranges = []
    for step, _, over in model.overruns:
        least, most = model.model.range_of([(1, over)])
        was = model.problem.task(step).was_over_s
        ranges.append((over, least, most if was is None else max(least, was)))
    return ranges


def _was(model: DinnerModel) -> list[tuple[Var, int]]:
    free = [task for task in model.problem.tasks if not task.is_fact]
    return [(model.starts[t.id], t.was_s) for t in free if t.was_s is not None and t.was_s >= 0]


def _soonest(model: DinnerModel, var: Var) -> int:
    return model.model.range_of([(1, var)])[0]
