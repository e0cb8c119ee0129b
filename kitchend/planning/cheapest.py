"""A large dinner looked for where prices say that it is cheap, and how far an answer may be from the best.

Among the starts at which dinner need cost little more than the bound the solver finds a good answer soon,
where among all of them it finds a poor one late. Where an answer comes near the bound, only starts that could
be in a better one are left, and the solver may prove that there is none. Prices need numpy, which is imported
when first used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitchend.planning.model import DinnerModel
from kitchend.planning.solver import Found, Term, Way

if TYPE_CHECKING:
    from kitchend.planning.prices import Bound

_WORTH_FROM = 0.1
"""With less effort than this no prices are looked for."""
_PART = 0.35
"""The part of the effort for the first answer."""
_ALL = 0.8
"""The part of the effort for it and for polishing it; the prices, which are not counted, cost the rest."""
_LATER_EFFORT = 0.005
_GLANCE_EFFORT = 0.02
"""Enough to see of most dinners that they cannot be had without trouble."""
_EXTRA = (1, 3, 10, 30)
"""Starts at which dinner need not stand longer than the bound by more than so many weighed moments."""
_CLOSE_PART = 0.03
_CLOSE_EFFORT = 0.05
"""For proving that an answer this near to the bound is the best."""


@dataclass(frozen=True, slots=True)
class Cheap:
    """An answer, how long things stand in it as a sum, the bound on that, and until what has been spent it
    may be polished.
    """

    found: Found
    standing: list[Term]
    bound: Bound
    until: float

    def gap(self, found: Found) -> float:
        """How far an answer may be from the best, as a part of it."""
        value = found.total(self.standing)
        return (value - self.bound.least) / max(1, value)


def found_where_cheap(model: DinnerModel) -> Cheap | None:
    """An answer to a dinner not yet begun, the model's wishes as they are; None if none was found."""
    problem, settings = model.problem, model.problem.settings
    wishes = [wish for wish in model.likings() if not wish.is_fine][:1]
    if settings.effort < _WORTH_FROM or problem.was_planned or not wishes:
        return None
    if model.model.can_be(effort=_GLANCE_EFFORT, seconds=settings.seconds_limit) is False:
        return None
    from kitchend.planning.prices import bound_of

    bound = bound_of(problem)
    if bound is None:
        return None
    standing = wishes[0].terms
    model.model.minimize(standing)
    began = model.model.spent
    for extra in _EXTRA:
        with model.starting_within(bound.starts_within(extra)):
            left = max(settings.effort * _PART / 3, began + settings.effort * _PART - model.model.spent)
            found = model.model.solve(effort=left, seconds=settings.seconds_limit, way=Way.REFINED_SUM)
        if found is not None:
            return Cheap(found, standing, bound, began + settings.effort * _ALL)
    return None


def put_back(model: DinnerModel, found: Found) -> Found:
    """The same answer with what keeps all day as late as it can be, by what the model minimises: where it
    stands costs nothing, so it was left anywhere.
    """
    seconds = model.problem.settings.seconds_limit
    for step in [task.id for task in model.problem.tasks if task.keeps_s is None]:
        model.hint(found)
        with model.only_free({step}, found):
            better = model.model.solve(effort=_LATER_EFFORT, seconds=seconds, way=Way.SMALL_SUM)
        found = better or found
    return found


def closed(model: DinnerModel, cheap: Cheap, best: Found) -> Found | None:
    """An answer that is proved to stand as short as any, if `best` comes near the bound and it is found."""
    value = best.total(cheap.standing)
    if cheap.gap(best) > _CLOSE_PART:
        return None
    model.model.minimize(cheap.standing)
    model.hint(best)
    # The bound was rounded up to whole moments: one more, so that every answer as good as this is among them.
    with model.starting_within(cheap.bound.starts_within(value - cheap.bound.least + 1)):
        seconds = model.problem.settings.seconds_limit
        found = model.model.solve(effort=_CLOSE_EFFORT, seconds=seconds, way=Way.REFINED_SUM)
    if found is None or not found.is_proved:
        return None
    return found if found.total(cheap.standing) < value else best
