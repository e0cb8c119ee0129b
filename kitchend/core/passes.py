"""The passes of a dinner: one, or, where plans share a kitchen, one for each plan.

The last pass is the plan's own; an earlier one keeps its distance to it, so that moving the pass moves all.
Lateness is each pass's own: a late first pass says nothing about the last.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.clock import WallTime
from kitchend.core.plan import Dish, Plan
from kitchend.core.timeline import Timeline


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One moment of serving: how long before the last one it is, and the dishes that are brought to it."""

    before_s: int = 0
    dishes: tuple[Dish, ...] = ()

    def at(self, serve: WallTime) -> WallTime:
        """When it is, with the last pass at `serve`."""
        return serve - self.before_s


@dataclass(frozen=True, slots=True, kw_only=True)
class LatePass:
    """A pass that the timeline cannot meet, when it is asked for, and by how many seconds."""

    one: Pass
    at: WallTime
    late_s: int

    @property
    def ready(self) -> WallTime:
        """When its dishes are all there."""
        return self.at + self.late_s


def passes_of(plan: Plan) -> tuple[Pass, ...]:
    """The passes of a plan, the earliest first; always at least one."""
    moments = sorted({dish.before_pass_s for dish in plan.dishes}, reverse=True) or [0]
    return tuple(
        Pass(before_s=before, dishes=tuple(dish for dish in plan.dishes if dish.before_pass_s == before))
        for before in moments
    )


def late_passes(plan: Plan, timeline: Timeline) -> tuple[LatePass, ...]:
    """The passes that the timeline does not meet, the earliest first."""
    passes = passes_of(plan)
    found = [
        LatePass(one=one, at=one.at(timeline.serve), late_s=late)
        for one in passes
        if (late := timeline.late_by_s if len(passes) == 1 else _late_s(one, timeline)) > 0
    ]
    return tuple(found)


def latest(plan: Plan, timeline: Timeline) -> LatePass | None:
    """The pass that is missed by most; None if all are met."""
    return max(late_passes(plan, timeline), key=lambda late: late.late_s, default=None)


def _late_s(one: Pass, timeline: Timeline) -> int:
    own = {step.id for dish in one.dishes for step in dish.steps}
    ends = [planned.end - one.at(timeline.serve) for planned in timeline.planned if planned.step in own]
    return max(0, round(max(ends, default=0)))
