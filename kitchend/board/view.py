"""The dinner as the board shows it: state and present in, one JSON object out. The words come from the table.

Times are seconds since 1970 by kitchend's clock, so that a tablet's own clock never matters. Everything is
derived, nothing is kept, and nothing here is markup: whoever shows it puts words in as words.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kitchend.board.minding import (
    careful_steps,
    careful_words,
    cook_of_step,
    several_passes,
    shows_safety_figures,
    tone_view,
)
from kitchend.board.timeline_view import timeline_view
from kitchend.board.watch import Line, Senses, Watcher
from kitchend.core.board_words import shown_span
from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.forecasts import Outlook
from kitchend.core.names import scale_of
from kitchend.core.plan import Step
from kitchend.core.presses import Press, answers, step_presses, talk_presses, timer_presses
from kitchend.core.progress import expected_end
from kitchend.core.quantities import Scale, Temperature, in_scale, show_temperature
from kitchend.core.state import DinnerState
from kitchend.core.status import GOING, CoreRead, Status, core_read, dish_name, status_of
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer, timer_of_step
from kitchend.core.tongue import of_state
from kitchend.reports.holds import Held, holds_of

View = dict[str, Any]
Words = Mapping[str, str]

COMING_SHOWN = 6
LATE_S = 60
"""Less than this is on time, as everywhere in kitchend."""

_ORDER = (StepState.UP, StepState.CALLED, StepState.HELD, StepState.ON)
"""What waits for the cook stands before what looks after itself."""


MOST_POINTS = 240
"""Readings of one thing in a view: a line on the page hardly shows more, and views go out again and again."""


@of_state
def view_of_dinner(state: DinnerState, now: Now, watcher: Watcher, words: Words) -> View:
    """Everything the board shows of a dinner, or of none."""
    status = status_of(state, now)
    return {
        "now": round(now.wall.epoch_s, 2),
        "offset": now.wall.offset_s,
        "plan": status.plan,
        "people": state.plan.people if state.plan is not None else None,
        "pass": _pass(state, status, words),
        "ears": ears_view(state, now, watcher.senses, words, watcher.partial),
        "mouth": None if watcher.senses.speaks else words["mouth.lost"],
        "going": _in_order([*_going(state, now, words), *_timers(state, now, words)]),
        "coming": _coming(state, status),
        "asked": _asked(state, words),
        "talk": [_line(line) for line in watcher.lines] or _last_words(state, now),
        "presses": _presses(talk_presses(state), words),
        "timeline": timeline_view(state, now, words),
        "readings": _readings(state, now, words),
        "holds": [f"{held.name}: {held_words(held, words)}" for held in holds_of(state)],
        "careful": careful_words(state, now, watcher.lines),
        "tone": tone_view(state, now),
        "guidance": words["guidance"] if shows_safety_figures(state) else None,
    }


def _pass(state: DinnerState, status: Status, words: Words) -> View | None:
    if status.serve is None:
        return None
    is_late = status.late_by_s >= LATE_S
    chance = state.timeline.on_time_probability if state.timeline is not None else None
    late = words["late"].format(time=shown_span(status.late_by_s, words))
    return {
        "at": [wall.epoch_s for wall in status.passes] or [status.serve.epoch_s],
        "late_by_s": status.late_by_s,
        "is_late": is_late,
        "words": late if is_late else words["on time"],
        "chance": None if chance is None else words["chance"].format(percent=f"{round(100 * chance)} %"),
        "done": words["done of"].format(done=status.done, total=status.total),
        "each": several_passes(state, words),
    }


def ears_view(state: DinnerState, now: Now, senses: Senses, words: Words, partial: str = "") -> View:
    """Whether kitchend listens, and what a cook has to do to be heard; `partial` is what is being said.

    That is shown where it is said to kitchend: the board shows a conversation, not a room.
    """
    until = None
    if state.speaking is not None and senses.speaks:
        key = "speaking"
    elif not senses.hears:
        key = "deaf" if senses.had_ears else "none"
    elif state.window_is_open(now.instant):
        key = "open"
        if not state.manners.is_open and state.window_until is not None:
            until = round(now.wall_of(state.window_until).epoch_s, 2)
    else:
        key = "listening"
    address = state.manners.address
    found = {"state": key, "words": words[f"ears.{key}"].format(address=address), "until": until}
    is_meant = state.window_is_open(now.instant) or f"{partial} ".startswith(f"{address.lower()} ")
    hearing = words["ears.hearing"].format(words=partial) if partial and is_meant else None
    then = words["ears.listening"].format(address=address)
    return found | {"then": then, "address": address, "hearing": hearing}


def _going(state: DinnerState, now: Now, words: Words) -> list[View]:
    found = (step for step in state.steps if state.state_of(step.id) in GOING)
    return [_going_step(state, step, now, words) for step in found]


def _in_order(going: list[View]) -> list[View]:
    """What spoils first, then what is up, then what was called; of what runs, the soonest to end."""
    places = {state.value: place for place, state in enumerate(_ORDER)}
    return sorted(
        going, key=lambda one: (not one["is_careful"], places[one["state"]], one["due"] or float("inf"))
    )


def _going_step(state: DinnerState, step: Step, now: Now, words: Words) -> View:
    timer = timer_of_step(state.timers, step.id)
    record = state.record_of(step.id)
    is_careful = step.id in careful_steps(state)
    facts = [
        words[f"state.{record.state.value}"] if is_careful else "",
        cook_of_step(state, step),
        _until(step, words),
        words["look"].format(sign=step.look_for) if step.look_for else "",
    ]
    return {
        "id": step.id,
        "name": step.name,
        "dish": dish_name(state, step),
        "state": record.state.value,
        "state_words": words["state.careful" if is_careful else f"state.{record.state.value}"],
        "is_careful": is_careful,
        **(_since(record.up_at, now) if timer is None else _countdown(timer, now)),
        "beside": _beside(step, record.state, words) if timer is None else None,
        "ends": round(now.wall_of(expected_end(state, step, now)).epoch_s, 1),
        "facts": [fact for fact in facts if fact],
        "presses": _presses(step_presses(state, step), words),
    }


def _until(step: Step, words: Words) -> str:
    """The reading that ends a step, or what it is to be served at; empty for a step without."""
    if step.until is None:
        return ""
    key = "until.table" if step.is_for_table else "until.reading"
    return words[key].format(degrees=show_temperature(step.until))


def _beside(step: Step, where: StepState, words: Words) -> str | None:
    """What stands where a countdown would: how long it will take, or that the cook is at it."""
    if where is StepState.CALLED and step.takes.high_s:
        return shown_span(step.takes.high_s, words)
    return words["hands"] if where is StepState.ON else None


def _timers(state: DinnerState, now: Now, words: Words) -> list[View]:
    return [_own_timer(state, timer, now, words) for timer in state.timers if timer.step is None]


def _own_timer(state: DinnerState, timer: Timer, now: Now, words: Words) -> View:
    key = "held" if timer.is_held else "on" if timer.remaining_s(now.instant) > 0 else "up"
    return {
        "id": f"timer {timer.id}",
        "name": timer.remind or timer.name,
        "dish": words["timer"],
        "state": key,
        "state_words": words[f"state.{key}"],
        "is_careful": False,
        **_countdown(timer, now),
        "beside": None,
        "ends": None,
        "facts": [],
        "presses": _presses(timer_presses(state, timer), words),
    }


def _since(up_at: Instant | None, now: Now) -> View:
    """A step without a timer: since when it is up, if it is."""
    return {"due": None if up_at is None else round(now.wall_of(up_at).epoch_s, 2), "left_s": None}


def _countdown(timer: Timer, now: Now) -> View:
    """Until when it runs, or what is left of it while it is held."""
    if timer.due is None:
        return {"due": None, "left_s": round(timer.left_s or 0.0, 1)}
    return {"due": round(now.wall_of(timer.due).epoch_s, 2), "left_s": None}


def _coming(state: DinnerState, status: Status) -> list[View]:
    return [
        {
            "id": step.step,
            "name": step.name,
            "dish": step.dish,
            "at": step.start.epoch_s,
            "hands_s": state.step(step.step).hands_s,
            "cook": cook_of_step(state, state.step(step.step)),
        }
        for step in status.coming[:COMING_SHOWN]
    ]


def _asked(state: DinnerState, words: Words) -> View | None:
    if state.asked is None:
        return None
    return {"text": state.asked.text, "presses": _presses(answers(state), words)}


def _presses(presses: tuple[Press, ...], words: Words) -> list[View]:
    return [
        {"key": press.key.partition(":")[0], "label": _label(press, words), "words": press.words}
        for press in presses
    ]


def _label(press: Press, words: Words) -> str:
    return press.key[1:] if press.key.startswith(":") else words[f"press.{press.key}"]


def _last_words(state: DinnerState, now: Now) -> list[View]:
    """What was said last before the board was there, as after a restart."""
    if not state.last_words:
        return []
    last = Line(number=0, by_cook=False, text=state.last_words, at_s=now.wall.epoch_s)
    return [_line(last)]


def _line(line: Line) -> View:
    who = "you" if line.by_cook else "kitchend"
    return {"n": line.number, "who": who, "text": line.text, "at": round(line.at_s, 1), "kind": line.kind}


def _readings(state: DinnerState, now: Now, words: Words) -> list[View]:
    """What the cook reported of each thing, with where it ends and when kitchend expects that."""
    steps = {str(step.id): step for step in state.steps}
    found: dict[str, list[View]] = {}
    for reading in state.readings:
        point = {"at": round(now.wall_of(reading.at).epoch_s, 1), "celsius": round(reading.celsius, 1)}
        found.setdefault(reading.of, []).append(point)
    return [_plot(state, steps.get(of), of, _thinned(points), now, words) for of, points in found.items()]


def _thinned(points: list[View]) -> list[View]:
    """As many as a line on the page can show, the newest always: a thermometer gives thousands."""
    step = -(-len(points) // MOST_POINTS)
    return points if step < 2 else points[::-1][::step][::-1]


def held_words(held: Held, words: Words) -> str:
    """What the readings of a low target are worth as a hold, and by whose table."""
    done, needed = held.whole_s
    return words["held"].format(
        held=shown_span(done, words),
        needed=shown_span(needed, words),
        degrees=show_temperature(held.at),
        source=held.source,
    )


def _plot(state: DinnerState, step: Step | None, of: str, points: list[View], now: Now, words: Words) -> View:
    names = {str(item.id): item.name for item in (state.plan.equipment if state.plan else ())}
    target = step.until if step is not None else None
    is_on = step is not None and state.state_of(step.id) is StepState.ON
    core = core_read(state, step, now) if step is not None and is_on else None
    likely = core.middle if core is not None else None
    return {
        "name": step.name if step is not None else names.get(of, of),
        "points": points,
        "target": None if target is None else round(target.celsius, 1),
        "target_words": None if target is None else show_temperature(target),
        "last": _in_scale(points[-1]["celsius"], state),
        "forecast": _forecast(state, step, now) if step is not None and is_on and target else None,
        "off": round(core.pull_c, 1)
        if core is not None and core.pull_c and step and step.is_for_table
        else None,
        "likely": None if likely is None else round(likely.epoch_s, 1),
        "notes": [] if core is None else _notes(state, core, words),
    }


def _notes(state: DinnerState, core: CoreRead, words: Words) -> list[str]:
    """What else is to be known of a core: its outlook, when to take it off, a reading that cannot be."""
    found = []
    if core.outlook is not None and core.middle is None:
        found.append(words[f"readings.{core.outlook.value}"])
    if core.pull_c is not None and core.carry_c is not None:
        pull, carry = _in_scale(core.pull_c, state), f"{round(_span(core.carry_c, state))}"
        found.append(words["readings.rest"].format(pull=pull, carry=carry))
    if core.refused_c is not None:
        found.append(words["readings.left out"].format(degrees=_in_scale(core.refused_c, state)))
    return found


def _span(celsius: float, state: DinnerState) -> float:
    """A difference of temperatures as the plan writes temperatures."""
    return celsius if scale_of(state.plan) is Scale.CELSIUS else celsius * 1.8


def _in_scale(celsius: float, state: DinnerState) -> str:
    """A reading as the plan writes temperatures."""
    scale = scale_of(state.plan)
    degrees = in_scale(celsius, scale)
    return show_temperature(Temperature(degrees=round(degrees), scale=scale))


def _forecast(state: DinnerState, step: Step, now: Now) -> list[float] | None:
    """Between when and when kitchend expects the reading that ends it; None where nothing runs."""
    core = core_read(state, step, now)
    if core is not None and core.low is not None and core.high is not None:
        return [round(core.low.epoch_s, 1), round(core.high.epoch_s, 1)]
    timer = timer_of_step(state.timers, step.id)
    names_none = core is not None and core.outlook in (Outlook.PLATEAU, Outlook.OUT_OF_REACH)
    if timer is None or timer.due is None or names_none:
        return None
    low: WallTime = now.wall_of(timer.due)
    high = low + max(0.0, timer.spread_s)
    return [round(max(low.epoch_s, now.wall.epoch_s), 1), round(max(high.epoch_s, now.wall.epoch_s), 1)]
