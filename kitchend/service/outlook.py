"""`kitchend timeline`: plans as if their dinner began now, shown, and written to files as asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kitchend.core.clock import Now
from kitchend.core.plan import Plan
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import clause, speaking
from kitchend.files.writing import write_export
from kitchend.reports.ics import timeline_ics
from kitchend.reports.printing import json_text
from kitchend.reports.sheet import timeline_sheet
from kitchend.reports.svg import timeline_svg
from kitchend.reports.timeline import timeline_json, timeline_text
from kitchend.service.guard import FINE, PROBLEMS
from kitchend.service.planner import SolvingPlanner
from kitchend.service.serving import dinner_of
from kitchend.service.settings import Settings
from kitchend.service.wall_clock import SystemClock


@dataclass(frozen=True, slots=True, kw_only=True)
class Exports:
    """The files asked for besides what is printed."""

    svg: Path | None = None
    sheet: Path | None = None
    ics: Path | None = None


def outlook(
    paths: Sequence[Path],
    serves: Sequence[str],
    settings: Settings,
    *,
    exports: Exports,
    as_json: bool,
    show: Callable[[str], None],
) -> int:
    """Print the timeline and write the exports; the exit code, 1 if it cannot be had as asked.

    PlanError for a broken plan, UseError for a pass that cannot be, OutputError for a file that cannot.
    """
    now = SystemClock().now()
    dinner = dinner_of(paths, serves, now.wall)
    plan = dinner.plan if dinner.plan.chance is not None else replace(dinner.plan, chance=settings.chance)
    timeline = SolvingPlanner(settings.preheat, settings.chance).first(plan, dinner.serve, now)
    written = _write(plan, timeline, now, exports, settings.rules)
    if as_json:
        show(json_text({**timeline_json(plan, timeline), "notes": list(dinner.notes)}))
    else:
        with speaking(plan.language):
            for note in dinner.notes:
                show(clause("screen.note", note=note))
            show(timeline_text(plan, timeline, now.wall))
            for path in written:
                show(clause("screen.written", path=f"{path}"))
    return FINE if timeline.is_feasible else PROBLEMS


def _write(plan: Plan, timeline: Timeline, now: Now, exports: Exports, rules: SafetyRules) -> list[Path]:
    if exports.svg is not None:
        write_export(exports.svg, timeline_svg(plan, timeline), option="--svg", sign="<?xml ")
    if exports.sheet is not None:
        page = timeline_sheet(plan, timeline, rules)
        write_export(exports.sheet, page, option="--sheet", sign="<!DOCTYPE html>")
    if exports.ics is not None:
        events = timeline_ics(plan, timeline, now.wall)
        write_export(exports.ics, events, option="--ics", sign="BEGIN:VCALENDAR")
    return [path for path in (exports.svg, exports.sheet, exports.ics) if path is not None]
