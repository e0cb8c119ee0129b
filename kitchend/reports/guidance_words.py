"""Published guidance as it is shown: temperatures in both scales, how long, for what, by whom."""

from __future__ import annotations

from kitchend.core.papers import written_duration
from kitchend.core.safety_rules import HeatRow
from kitchend.core.tongue import tongue
from kitchend.core.wording import clause

CODE = "FDA Food Code"
"""Its articles are cited by their numbers."""


def shown_degrees(celsius: float) -> str:
    """ "74 C (165 F)", to the nearest whole degree of each."""
    return f"{celsius:.0f} C ({celsius * 1.8 + 32:.0f} F)"


def shown_least(row: HeatRow) -> str:
    """ "63 C (145 F) inside for whole cuts of meat, then 3 min of rest"."""
    key = "least" if not row.hold_s else "least.rest" if row.is_rest else "least.kept"
    kind = clause(f"kind.{row.kind}")
    return clause(key, degrees=shown_degrees(row.celsius), kind=kind, time=written_duration(row.hold_s))


def cited(source: str) -> str:
    """The name of a publication in the language read; as it is, where that has none for it."""
    if f"cite.{source}" in tongue().sentences:
        return clause(f"cite.{source}")
    return source.replace(CODE, clause(f"cite.{CODE}"), 1)
