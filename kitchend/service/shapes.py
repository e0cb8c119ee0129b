"""How a dinner stands, as the JSON that other programs rely on: keys may be added here, none removed.

Times are ISO 8601 with offset, durations seconds. What the facts are is decided in the core.
"""

from __future__ import annotations

from typing import Any

from kitchend.core.clock import Now, WallTime
from kitchend.core.state import DinnerState
from kitchend.core.status import ComingStep, GoingStep, OwnTimer, status_of


def status_json(state: DinnerState, now: Now) -> dict[str, Any]:
    """The answer to `kitchend status --json`."""
    status = status_of(state, now)
    return {
        "plan": status.plan,
        "serve": _iso(status.serve),
        "ready": _iso(status.ready),
        "late_by_s": status.late_by_s,
        "steps_done": status.done,
        "steps": status.total,
        "going": [_going(step) for step in status.going],
        "next": [_coming(step) for step in status.coming],
        "timers": [_timer(timer) for timer in status.timers],
        "asked": status.asked,
        "last_words": status.last_words,
    }


def _iso(wall: WallTime | None) -> str | None:
    return None if wall is None else wall.isoformat()


def _going(step: GoingStep) -> dict[str, Any]:
    return {
        "dish": step.dish,
        "step": step.name,
        "state": step.state.value,
        "left_s": None if step.left_s is None else round(step.left_s),
        "ends": step.ends.isoformat(),
    }


def _coming(step: ComingStep) -> dict[str, Any]:
    return {"dish": step.dish, "step": step.name, "start": step.start.isoformat()}


def _timer(timer: OwnTimer) -> dict[str, Any]:
    return {"name": timer.name, "left_s": round(timer.left_s), "held": timer.is_held}
