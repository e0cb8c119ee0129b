"""What `kitchend timeline` shows: what it comes to, conflicts, a table, a chart, why; or all of it as JSON.

Takes a plan and its timeline and gives text or a dict; plans nothing and prints nothing. The keys of the JSON
are relied on by other programs: more may be added, none taken away. Lines stay within 100 columns.
"""

from __future__ import annotations

from kitchend.core.clock import WallTime
from kitchend.core.papers import written_day, written_time
from kitchend.core.passes import late_passes, passes_of
from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause, said_list
from kitchend.reports.chart import chart
from kitchend.reports.rows import Row, cook_name, rows_of
from kitchend.reports.table import table
from kitchend.reports.why import conflicts, why
from kitchend.reports.wrapping import at_least, wrapped


@of_state
def timeline_json(plan: Plan, timeline: Timeline) -> dict[str, object]:
    """The timeline as the JSON other programs rely on; times are ISO 8601 with offset."""
    rows = rows_of(plan, timeline)
    spoiler = next((row for row in rows if row.step.id == timeline.spoiler), None)
    return {
        "plan": plan.name,
        "serve": timeline.serve.isoformat(),
        "passes": [
            {"at": one.at(timeline.serve).isoformat(), "dishes": [dish.name for dish in one.dishes]}
            for one in passes_of(plan)
        ],
        "ready": timeline.ready.isoformat(),
        "length_s": _length_s(timeline),
        "feasible": timeline.is_feasible,
        "late_by_s": timeline.late_by_s,
        "cooks": plan.cooks,
        "cook_names": list(plan.cook_names),
        "steps": [_step_json(row, plan, timeline.serve) for row in rows],
        "conflicts": [
            {"message": one.message, "change": next(iter(one.changes), None), "changes": list(one.changes)}
            for one in timeline.conflicts
        ],
        "on_time_probability": timeline.on_time_probability,
        "chance_asked": plan.chance,
        "spoiler": None
        if spoiler is None
        else {"id": spoiler.step.id, "dish": spoiler.dish, "step": spoiler.step.name},
        "margin_s": timeline.margin_s,
        "busiest": [
            {"start": busy.start.isoformat(), "end": busy.end.isoformat(), "hands_s": busy.hands_s}
            for busy in timeline.busiest
        ],
        "heats": [
            {
                "equipment": heat.equipment,
                "celsius": round(heat.at.celsius, 1),
                "start": heat.start.isoformat(),
                "end": heat.end.isoformat(),
            }
            for heat in timeline.heats
        ],
        "gap": timeline.gap,
    }


def _length_s(timeline: Timeline) -> int:
    """From the first start to when all is ready, in whole seconds; 0 for nothing."""
    starts = [planned.start for planned in timeline.planned]
    first = min(starts, key=lambda start: start.epoch_s, default=timeline.ready)
    return round(timeline.ready - first)


def _step_json(row: Row, plan: Plan, serve: WallTime) -> dict[str, object]:
    waits = row.planned.waits_for
    return {
        "id": row.step.id,
        "dish": row.dish,
        "step": row.step.name,
        "start": row.planned.start.isoformat(),
        "end": row.planned.end.isoformat(),
        "hands_s": row.step.hands_s,
        "cook": row.planned.cook if row.step.hands_s else None,
        "cook_name": cook_name(plan, row.planned.cook) or None if row.step.hands_s else None,
        "equipment": list(row.equipment),
        "stands_s": row.planned.stands_s,
        "slack_s": row.planned.slack_s,
        "critical": row.planned.is_critical,
        "decides": [(serve - before).isoformat() for before in row.planned.decides],
        "waits_for": None
        if waits is None
        else {"for": waits.hold.value, "id": waits.step, "equipment": waits.equipment, "words": row.waits},
        "added": row.step.added,
    }


@of_state
def timeline_text(plan: Plan, timeline: Timeline, now: WallTime | None = None) -> str:
    """The timeline for people: what it comes to, conflicts, the table, the chart, why it is so.

    With `now`, a pass that is not today says on which day it is.
    """
    rows = rows_of(plan, timeline)
    parts = ["\n".join(wrapped("", headline(plan, timeline, now))), conflicts(timeline)]
    if rows:
        parts += [table(rows), chart(plan, timeline), why(plan, rows, timeline)]
    return "\n\n".join(part for part in parts if part)


def headline(plan: Plan, timeline: Timeline, now: WallTime | None = None) -> str:
    """Which dinner, when its passes are, whether they are met, when it begins."""
    first = min((planned.start for planned in timeline.planned), key=lambda at: at.epoch_s, default=None)
    begins = "" if first is None else clause("head.begins", at=written_time(first, now))
    times = [written_time(one.at(timeline.serve), now) for one in passes_of(plan)]
    passes = clause("head.pass" if len(times) == 1 else "head.passes", at=said_list(times))
    late = late_passes(plan, timeline)
    if not late:
        return f"{plan.name}: {passes}{begins}."
    missed = [
        clause(
            "head.missed",
            at=written_time(one.at, now),
            ready=f"{one.ready.time_of_day}",
            late=at_least(one.late_s),
        )
        for one in late
    ]
    others = f"{passes}; " if len(times) > 1 else ""
    return f"{plan.name}: {others}{'; '.join(missed)}{begins}."


def on_paper(plan: Plan, timeline: Timeline) -> str:
    """The same for what is printed and read on another day: with the date of the pass, without the name."""
    line = headline(plan, timeline).removeprefix(f"{plan.name}: ")
    return f"{written_day(timeline.serve, with_year=True)}: {line}"
