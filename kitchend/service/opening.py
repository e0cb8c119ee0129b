"""Opens a plan by name and plans it: what came of an `OpenPlan`, as the event to put.

The cook's "half past seven" becomes a moment here. Whether the dinner may start at all is not asked here.
"""

from __future__ import annotations

from kitchend.core.clock import Now, TimeOfDay, WallTime
from kitchend.core.events import DinnerStarted
from kitchend.service.ports import Planner, Plans


def opened(
    name: str, serve: TimeOfDay | WallTime | None, *, plans: Plans, planner: Planner, now: Now
) -> DinnerStarted:
    """The start of the dinner called `name`; PlanError if its plan cannot be used."""
    found = plans.open(name)
    asked = serve or found.plan.serve
    timeline = planner.first(found.plan, serve_of(asked, now), now)
    return DinnerStarted(plan=found.plan, serve=timeline.serve, timeline=timeline, source=found.source)


def serve_of(time: TimeOfDay | WallTime | None, now: Now) -> WallTime | None:
    """The next moment the wall shows this time; a moment stays what it is, and None as early as it can be."""
    return now.wall.next_at(time) if isinstance(time, TimeOfDay) else time
