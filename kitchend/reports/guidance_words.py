"""Published guidance as it is shown: temperatures in both scales, how long, for what, by whom."""

from __future__ import annotations

from kitchend.core.quantities import show_duration
from kitchend.core.safety_rules import HeatRow


def shown_degrees(celsius: float) -> str:
    """ "74 C (165 F)", to the nearest whole degree of each."""
    return f"{celsius:.0f} C ({celsius * 1.8 + 32:.0f} F)"


def shown_least(row: HeatRow) -> str:
    """ "63 C (145 F) inside for whole cuts of meat, then 3 min of rest"."""
    return f"{shown_degrees(row.celsius)} inside for {row.kind}{_then(row)}"


def _then(row: HeatRow) -> str:
    if not row.hold_s:
        return ""
    return (
        f"{', then' if row.is_rest else ', kept for'} {show_duration(row.hold_s)}{' of rest' * row.is_rest}"
    )
