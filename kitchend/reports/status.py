"""How a dinner stands, as JSON for programs and as lines for people. Knows nothing of who is asked.

Other programs rely on the keys: more may be added, none removed. Times are ISO 8601 with offset, durations
seconds. The lines are made from the JSON, for that is what comes from the running kitchend.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from kitchend.core.clock import Now, WallTime
from kitchend.core.quantities import show_duration
from kitchend.core.state import DinnerState
from kitchend.core.status import ComingStep, CoreRead, GoingStep, OwnTimer, status_of
from kitchend.doneness.guidance import CAUTION
from kitchend.reports.holds import Held, holds_of
from kitchend.reports.printing import columns

NEXT_SHOWN = 5
"""How many coming steps people are shown; programs get all."""


def status_json(state: DinnerState, now: Now) -> dict[str, Any]:
    """The answer to `kitchend status --json`."""
    status = status_of(state, now)
    return {
        "plan": status.plan,
        "serve": _iso(status.serve),
        "passes": [_iso(at) for at in status.passes],
        "ready": _iso(status.ready),
        "late_by_s": status.late_by_s,
        "steps_done": status.done,
        "steps": status.total,
        "going": [_going_json(step) for step in status.going],
        "next": [_coming_json(step) for step in status.coming],
        "timers": [_timer_json(timer) for timer in status.timers],
        "holds": [_hold_json(held) for held in holds_of(state)],
        "asked": status.asked,
        "last_words": status.last_words,
    }


def _iso(wall: WallTime | None) -> str | None:
    return None if wall is None else wall.isoformat()


def _going_json(step: GoingStep) -> dict[str, Any]:
    return {
        "dish": step.dish,
        "step": step.name,
        "state": step.state.value,
        "left_s": None if step.left_s is None else round(step.left_s),
        "ends": step.ends.isoformat(),
        "core": None if step.core is None else _core_json(step.core),
    }


def _core_json(core: CoreRead) -> dict[str, Any]:
    """Degrees Celsius; `low` to `high` is an 80 % range."""
    return {
        "celsius": _tenths(core.celsius),
        "at": _iso(core.at),
        "left_out": _tenths(core.refused_c),
        "outlook": None if core.outlook is None else core.outlook.value,
        "low": _iso(core.low),
        "likely": _iso(core.middle),
        "high": _iso(core.high),
        "take_off_celsius": _tenths(core.pull_c),
        "carry_over_celsius": _tenths(core.carry_c),
    }


def _tenths(celsius: float | None) -> float | None:
    return None if celsius is None else round(celsius, 1)


def _coming_json(step: ComingStep) -> dict[str, Any]:
    return {"dish": step.dish, "step": step.name, "start": step.start.isoformat()}


def _hold_json(held: Held) -> dict[str, Any]:
    """What readings are worth as a hold; `caution` goes wherever the figure goes."""
    return {
        "step": held.name,
        "at_c": round(held.at.celsius, 1),
        "held_s": held.held_s,
        "needed_s": held.needed_s,
        "source": held.source,
        "shown": held.shown(),
        "caution": CAUTION,
    }


def _timer_json(timer: OwnTimer) -> dict[str, Any]:
    return {"name": timer.name, "left_s": round(timer.left_s), "held": timer.is_held}


def status_text(status: dict[str, Any]) -> str:
    """The JSON shape as lines for people."""
    lines = [_headline(status), *_table("On now:", [_going(step) for step in status["going"]])]
    coming = status["next"][:NEXT_SHOWN]
    lines += _table("Next:", [(f"{_clock(step['start'])}", step["step"], step["dish"]) for step in coming])
    lines += _table("Timers:", [(timer["name"], _left(timer["left_s"])) for timer in status["timers"]])
    lines += _table("Thermometers:", [_thermometer(one) for one in status.get("thermometers", ())])
    holds = status.get("holds", [])
    lines += _table("Time at temperature:", [(held["step"], held["shown"]) for held in holds])
    lines += [f"  {holds[0]['caution']}"] if holds else []
    if status["asked"]:
        lines.append(f"Asked: {status['asked']}")
    return "\n".join(lines)


def _headline(status: dict[str, Any]) -> str:
    if status["plan"] is None:
        return "No dinner is on."
    late = status["late_by_s"]
    time = "on time" if late < 60 else f"{show_duration(late)} late"
    done = f"{status['steps_done']} of {status['steps']} steps done"
    passes = status.get("passes") or [status["serve"]]
    at = " and ".join(_clock(moment) for moment in passes)
    return f"{status['plan']}: the pass{'es' * (len(passes) > 1)} at {at}, {time}, {done}."


def _table(title: str, rows: list[tuple[str, ...]]) -> list[str]:
    return [title, *(f"  {line}" for line in columns(rows))] if rows else []


def _going(step: dict[str, Any]) -> tuple[str, ...]:
    left = "" if step["left_s"] is None else _left(step["left_s"])
    return (step["step"], step["state"], left, _core(step.get("core")))


def _core(core: dict[str, Any] | None) -> str:
    """The last reading and what is expected: "62 C, expected 19:04 to 19:16"."""
    if core is None:
        return ""
    said = [] if core["celsius"] is None else [f"{core['celsius']:g} C"]
    if core["likely"] is not None:
        said.append(
            f"expected {_clock(core['low'])} to {_clock(core['high'])}, likely {_clock(core['likely'])}"
        )
    elif core["outlook"] is not None:
        said.append(core["outlook"])
    if core["left_out"] is not None:
        said.append(f"left out {core['left_out']:g} C, which cannot be")
    return ", ".join(said)


def _thermometer(one: dict[str, Any]) -> tuple[str, ...]:
    degrees = "" if one["celsius"] is None else f"{one['celsius']:.1f} C"
    age = "" if one["age_s"] is None else f"{show_duration(one['age_s'])} ago"
    state = f"lost: {one['why']}" if one["works"] is False else ("" if one["works"] else "nothing yet")
    return (one["of"], degrees, age, state)


def _left(seconds: float) -> str:
    text = show_duration(abs(round(seconds)))
    return f"{text} left" if seconds >= 0 else f"{text} over"


def _clock(moment: str | None) -> str:
    return "?" if moment is None else f"{datetime.fromisoformat(moment):%H:%M}"
