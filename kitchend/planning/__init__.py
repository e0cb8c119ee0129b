"""The planner: a plan, or a dinner half done, becomes a timeline. The two functions here never fail.

Importing this is cheap; the solver is loaded when first needed. Times come in with `Now`; nothing here reads
a clock.
"""

from __future__ import annotations

import math
from dataclasses import replace

from kitchend.core.clock import Now, WallTime
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.planning.explain import Explain, conflicts_of, conflicts_of_rest
from kitchend.planning.margin import Sure, planned_surely, rest_surely, wanted_chance
from kitchend.planning.outcome import timeline_of
from kitchend.planning.settings import PlanningSettings
from kitchend.planning.tasks import origin_of, problem_of_plan

__all__ = ["PlanningSettings", "plan_dinner", "plan_rest"]

_DEFAULT = PlanningSettings()


@of_state
def plan_dinner(
    plan: Plan, *, now: Now, serve: WallTime | None, settings: PlanningSettings = _DEFAULT
) -> Timeline:
    """The timeline of a whole dinner from now. With `serve` None the pass is as early as it can be."""
    origin = origin_of(now)
    serve_s = None if serve is None else math.floor(serve - origin)
    problem = problem_of_plan(plan, serve_s, settings)
    sure = planned_surely(problem, wanted_chance(plan, settings))
    return _timeline(sure, origin, serve, conflicts_of)


@of_state
def plan_rest(state: DinnerState, *, now: Now, settings: PlanningSettings = _DEFAULT) -> Timeline:
    """The timeline of everything not yet on, from what is true now; what was called stays where it is.

    Empty when no dinner is on.
    """
    origin = origin_of(now)
    if state.plan is None:
        return Timeline(serve=origin, ready=origin)
    sure = rest_surely(state, now, settings, wanted_chance(state.plan, settings))
    return _timeline(sure, origin, state.serve, conflicts_of_rest)


def _timeline(sure: Sure, origin: WallTime, serve: WallTime | None, explain: Explain) -> Timeline:
    timeline = timeline_of(sure.outcome, origin, serve, explain(sure.outcome, origin))
    chance = sure.chance
    return replace(
        timeline, on_time_probability=chance.on_time, spoiler=chance.spoiler, margin_s=sure.margin_s
    )
