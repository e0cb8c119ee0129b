"""The timeline as a table: a line a step in the order of the evening. Lines stay within 100 columns."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from kitchend.core.papers import written_duration
from kitchend.core.wording import clause
from kitchend.reports.rows import Row, days_of
from kitchend.reports.wrapping import WIDTH, filled, rough, short, wrapped

STEP, HANDS, SLIP, COOK = 28, 8, 10, 8
"""Columns of the parts; what a step waits for gets the rest."""


def table(rows: Sequence[Row]) -> str:
    """From, to, what, whose hands and for how long, how far it may slip, what it waits for."""
    names_cooks = any(row.cook for row in rows)
    heads = [clause(f"table.{part}") for part in ("from", "to", "step", "cook", "hands", "slip", "waits")]
    heads[3] *= names_cooks
    lines = [_line("  ", *heads)]
    days = days_of(rows)
    for row in rows:
        if row.step.id in days:
            lines.append(f"  {days[row.step.id]}")
        mark = "* " if row.planned.is_critical else "  "
        hands = written_duration(row.step.hands_s) if row.step.hands_s else ""
        start, end = str(row.planned.start.time_of_day), str(row.planned.end.time_of_day)
        cook = (row.cook or " ") * names_cooks
        lines.append(
            _line(
                mark,
                start,
                end,
                row.step.name,
                cook,
                hands,
                rough(row.planned.slack_s) or clause("table.none"),
                row.waits,
            )
        )
    return "\n".join([*lines, *wrapped("  ", clause("table.key"))])


def _line(mark: str, start: str, end: str, step: str, cook: str, hands: str, slip: str, waits: str) -> str:
    who = f"  {filled(cook, COOK)}" if cook else ""
    line = (
        f"{mark}{filled(start, 5)}  {filled(end, 5)}  {filled(step, STEP - (COOK if cook else 0) // 2)}{who}"
        f"  {filled(hands, HANDS, to_right=True)}  {filled(slip, SLIP, to_right=True)}"
    )
    return f"{line}  {short(waits, WIDTH - cell_len(line) - 2)}".rstrip()
