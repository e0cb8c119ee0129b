"""The timeline as a table: a line a step in the order of the evening. Lines stay within 100 columns."""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.quantities import show_duration
from kitchend.reports.rows import Row, days_of
from kitchend.reports.wrapping import WIDTH, rough, short, wrapped

STEP, HANDS, SLIP, COOK = 28, 8, 10, 8
"""Columns of the parts; what a step waits for gets the rest."""

KEY = (
    "* decides the pass. A step waits for the step named, for hands or a place that are with another, "
    "or for the pass: it starts as late as it may, so that it is fresh."
)


def table(rows: Sequence[Row]) -> str:
    """From, to, what, whose hands and for how long, how far it may slip, what it waits for."""
    names_cooks = any(row.cook for row in rows)
    lines = [_line("  ", "from", "to", "step", "cook" * names_cooks, "hands", "may slip", "waits for")]
    days = days_of(rows)
    for row in rows:
        if row.step.id in days:
            lines.append(f"  {days[row.step.id]}")
        mark = "* " if row.planned.is_critical else "  "
        hands = show_duration(row.step.hands_s) if row.step.hands_s else ""
        start, end = str(row.planned.start.time_of_day), str(row.planned.end.time_of_day)
        cook = (row.cook or " ") * names_cooks
        lines.append(
            _line(
                mark, start, end, row.step.name, cook, hands, rough(row.planned.slack_s) or "none", row.waits
            )
        )
    return "\n".join([*lines, *wrapped("  ", KEY)])


def _line(mark: str, start: str, end: str, step: str, cook: str, hands: str, slip: str, waits: str) -> str:
    wide = STEP - (COOK if cook else 0) // 2
    who = f"  {short(cook, COOK):{COOK}}" if cook else ""
    line = (
        f"{mark}{start:5}  {end:5}  {short(step, wide):{wide}}{who}"
        f"  {short(hands, HANDS):>{HANDS}}  {short(slip, SLIP):>{SLIP}}"
    )
    return f"{line}  {short(waits, WIDTH - len(line) - 2)}".rstrip()
