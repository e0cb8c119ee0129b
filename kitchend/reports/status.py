"""How a dinner stands, as JSON for programs and as lines for people. Knows nothing of who is asked.

Other programs rely on the keys: more may be added, none removed. Times are ISO 8601 with offset, durations
seconds. The lines are made from the JSON, for that is what comes from the running kitchend.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from kitchend.core.clock import Now, WallTime
from kitchend.core.papers import written_duration
from kitchend.core.state import DinnerState
from kitchend.core.status import ComingStep, CoreRead, GoingStep, OwnTimer, status_of
from kitchend.core.tongue import DEFAULT, of_state, speaking
from kitchend.core.wording import clause
from kitchend.reports.holds import Held, holds_of
from kitchend.reports.printing import columns
from kitchend.reports.reasons import why_let_go

LET_GO_SHOWN = 3
NEXT_SHOWN = 5
"""How many coming steps people are shown; programs get all."""


@of_state
def status_json(state: DinnerState, now: Now) -> dict[str, Any]:
    """The answer to `kitchend status --json`."""
    status = status_of(state, now)
    return {
        "plan": status.plan,
        "language": str(state.language),
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
        "caution": clause("caution.guidance"),
    }


def _timer_json(timer: OwnTimer) -> dict[str, Any]:
    return {"name": timer.name, "left_s": round(timer.left_s), "held": timer.is_held}


def status_text(status: dict[str, Any]) -> str:
    """The JSON shape as lines for people, in the language it names."""
    with speaking(status.get("language", DEFAULT)):
        return "\n".join(_lines(status))


def _lines(status: dict[str, Any]) -> list[str]:
    lines = [_headline(status), *_table(clause("status.going"), [_going(step) for step in status["going"]])]
    coming = status["next"][:NEXT_SHOWN]
    lines += _table(
        clause("status.next"), [(f"{_clock(step['start'])}", step["step"], step["dish"]) for step in coming]
    )
    lines += _table(
        clause("status.timers"), [(timer["name"], _left(timer["left_s"])) for timer in status["timers"]]
    )
    lines += _table(
        clause("status.thermometers"), [_thermometer(one) for one in status.get("thermometers", ())]
    )
    holds = status.get("holds", [])
    lines += _table(clause("status.holds"), [(held["step"], held["shown"]) for held in holds])
    lines += [f"  {holds[0]['caution']}"] if holds else []
    let_go = status.get("let_go", [])[-LET_GO_SHOWN:]
    lines += _table(clause("status.let.go"), [_let_go(one) for one in let_go])
    if status["asked"]:
        lines.append(clause("status.asked", question=status["asked"]))
    return lines


def _let_go(one: dict[str, Any]) -> tuple[str, str, str]:
    text = clause("status.let.go.text", text=one["text"]) if one["text"] else ""
    return _clock(one["at"]), why_let_go(one["reason"]), text


def _headline(status: dict[str, Any]) -> str:
    if status["plan"] is None:
        return clause("status.none")
    late = status["late_by_s"]
    is_late = late >= 60
    time = clause("status.late", time=written_duration(late)) if is_late else clause("status.on time")
    passes = status.get("passes") or [status["serve"]]
    at = _clock(passes[0])
    for moment in passes[1:]:
        at = clause("status.and", first=at, last=_clock(moment))
    return clause(
        "status.head.passes" if len(passes) > 1 else "status.head",
        plan=status["plan"],
        at=at,
        time=time,
        done=f"{status['steps_done']}",
        steps=f"{status['steps']}",
    )


def _table(title: str, rows: list[tuple[str, ...]]) -> list[str]:
    return [title, *(f"  {line}" for line in columns(rows))] if rows else []


def _going(step: dict[str, Any]) -> tuple[str, ...]:
    left = "" if step["left_s"] is None else _left(step["left_s"])
    return (step["step"], clause(f"status.state.{step['state']}"), left, _core(step.get("core")))


def _core(core: dict[str, Any] | None) -> str:
    """The last reading and what is expected: "62 C, expected 19:04 to 19:16"."""
    if core is None:
        return ""
    said = [] if core["celsius"] is None else [f"{core['celsius']:g} C"]
    if core["likely"] is not None:
        low, likely, high = (_clock(core[key]) for key in ("low", "likely", "high"))
        said.append(clause("status.expected", low=low, high=high, likely=likely))
    elif core["outlook"] is not None:
        said.append(clause(f"status.outlook.{core['outlook']}"))
    if core["left_out"] is not None:
        said.append(clause("status.left.out", degrees=f"{core['left_out']:g} C"))
    return ", ".join(said)


def _thermometer(one: dict[str, Any]) -> tuple[str, ...]:
    degrees = "" if one["celsius"] is None else f"{one['celsius']:.1f} C"
    age = "" if one["age_s"] is None else clause("status.ago", time=written_duration(one["age_s"]))
    state = "" if one["works"] else clause("status.nothing.yet")
    if one["works"] is False:
        state = clause("status.lost", why=one["why"])
    return (one["of"], degrees, age, state)


def _left(seconds: float) -> str:
    time = written_duration(abs(round(seconds)))
    return clause("status.left" if seconds >= 0 else "status.over", time=time)


def _clock(moment: str | None) -> str:
    return "?" if moment is None else f"{datetime.fromisoformat(moment):%H:%M}"
