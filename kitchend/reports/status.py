"""`kitchend status`: how the dinner stands, from the running kitchend, as a table or as its JSON."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from kitchend.core.quantities import show_duration
from kitchend.reports.printing import columns, json_text
from kitchend.service.control import ask
from kitchend.service.guard import FINE, UseError
from kitchend.service.places import places

NEXT_SHOWN = 5
"""How many coming steps people are shown; programs get all."""


def status(*, as_json: bool, show: Callable[[str], None]) -> int:
    """Ask and print; DeviceError if no kitchend is running here."""
    answer = ask(places().socket, {"status": True})
    if "error" in answer:
        raise UseError(answer["error"])
    show(json_text(answer["status"]) if as_json else status_text(answer["status"]))
    return FINE


def status_text(status: dict[str, Any]) -> str:
    """The JSON shape as lines for people."""
    lines = [_headline(status), *_table("On now:", [_going(step) for step in status["going"]])]
    coming = status["next"][:NEXT_SHOWN]
    lines += _table("Next:", [(f"{_clock(step['start'])}", step["step"], step["dish"]) for step in coming])
    lines += _table("Timers:", [(timer["name"], _left(timer["left_s"])) for timer in status["timers"]])
    if status["asked"]:
        lines.append(f"Asked: {status['asked']}")
    return "\n".join(lines)


def _headline(status: dict[str, Any]) -> str:
    if status["plan"] is None:
        return "No dinner is on."
    late = status["late_by_s"]
    time = "on time" if late < 60 else f"{show_duration(late)} late"
    done = f"{status['steps_done']} of {status['steps']} steps done"
    return f"{status['plan']}: the pass at {_clock(status['serve'])}, {time}, {done}."


def _table(title: str, rows: list[tuple[str, ...]]) -> list[str]:
    return [title, *(f"  {line}" for line in columns(rows))] if rows else []


def _going(step: dict[str, Any]) -> tuple[str, ...]:
    left = "" if step["left_s"] is None else _left(step["left_s"])
    return (step["step"], step["state"], left)


def _left(seconds: float) -> str:
    text = show_duration(abs(round(seconds)))
    return f"{text} left" if seconds >= 0 else f"{text} over"


def _clock(moment: str | None) -> str:
    return "?" if moment is None else f"{datetime.fromisoformat(moment):%H:%M}"
