"""`kitchend timeline`: plan a plan as if its dinner began now, and show the timeline."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitchend.core.clock import TimeOfDay
from kitchend.files.plan_yaml import read_plan
from kitchend.reports.printing import json_text
from kitchend.reports.timeline import timeline_json, timeline_text
from kitchend.service.guard import FINE, PROBLEMS
from kitchend.service.opening import serve_of
from kitchend.service.planner import SolvingPlanner
from kitchend.service.settings import Settings
from kitchend.service.wall_clock import SystemClock


def outlook(
    path: Path, serve: TimeOfDay | None, settings: Settings, *, as_json: bool, show: Callable[[str], None]
) -> int:
    """Print the timeline; the exit code, 1 if it cannot be had as asked. PlanError for a broken plan."""
    plan = read_plan(path)
    now = SystemClock().now()
    timeline = SolvingPlanner(settings.preheat).first(plan, serve_of(serve or plan.serve, now), now)
    show(json_text(timeline_json(plan, timeline)) if as_json else timeline_text(plan, timeline, now.wall))
    return FINE if timeline.is_feasible else PROBLEMS
