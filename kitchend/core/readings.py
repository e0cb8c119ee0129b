"""Readings, told by the cook or sent by a probe: which can be, which are kept, and what one brings about.

What cannot be is asked back where a cook said it, and left out and noted where a probe sent it. What is kept
of each thing is thinned, so that twelve hours of a busy probe stay small. When a core is there, its step is
up; else it may be time for a forecast.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kitchend.core import calls, forecasting, moves, silence, wording
from kitchend.core.clock import Now
from kitchend.core.effects import CallKind
from kitchend.core.events import ForecastMade, ReadingTaken
from kitchend.core.food_places import cools, is_cold_work
from kitchend.core.forecasts import Refused
from kitchend.core.measured import Unwanted, measured
from kitchend.core.names import scale_of, short_name
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.plan import Step
from kitchend.core.quantities import Temperature
from kitchend.core.state import Call, DinnerState, Reading
from kitchend.core.steps import StepState

FREEZING_C, FREEZER_C = 0.0, -40.0
OVER_OVEN_C = 10.0
"""A core is never hotter than its oven; ovens swing about so much round their dial (common practice)."""
BOILING_C = 105.0
"""Hotter than moist food gets, wherever it is."""
ODD_FALL_C, ODD_RISE_C, ODD_RISE_C_PER_MIN = 5.0, 8.0, 2.0
"""A core falls little in the heat and rises a degree or so a minute (common practice)."""
TRUSTED_AGAIN_S, TRUSTED_AGAIN, ALIKE_C = 300.0, 6, 3.0
"""A probe that says the same impossible thing for five minutes was put elsewhere: its readings begin anew."""

MOST_KEPT = 300
RECENT = 60
COARSE = 120
"""More readings of a thing than `MOST_KEPT` are thinned: all but the last `RECENT` become `COARSE` means."""


def take_in(state: DinnerState, event: ReadingTaken | ForecastMade, now: Now) -> Outcome:
    """What a reading that came by itself, or the forecast made of readings, does to the dinner."""
    if isinstance(event, ForecastMade):
        return forecasting.made(state, event, now)
    return taken(state, event, now)


def taken(state: DinnerState, event: ReadingTaken, now: Now) -> Outcome:
    """A reading that came by itself; it is answered only where it changes what the cook has to do."""
    of = measured(state, event.of)
    if isinstance(of, Unwanted) or not math.isfinite(event.celsius):
        return refusal(state)
    step = next((step for step in state.steps if step.id == of), None)
    if step is not None and step.is_hands_only:
        return refusal(state)
    state = silence.read(state, of, event.celsius, now)
    if step is not None and is_odd(state, step, event.celsius, now):
        state = _noted(state, of, event.celsius, now)
        refused = next(one for one in state.refused if one.of == of)
        if is_impossible(step, event.celsius) or not _is_trusted_again(refused):
            return refusal(state)
        state = replace(state, readings=tuple(one for one in state.readings if one.of != of))
    before = _last(state, of)
    new = kept(state, of, event.celsius, now)
    if step is None or step.until is None or state.state_of(step.id) is not StepState.ON:
        return Outcome(state=new)
    is_old = before is None or now.instant - before.at > TRUSTED_AGAIN_S
    was_near = before is None or is_old or forecasting.is_there(state, step, before.celsius)
    if not forecasting.is_there(state, step, event.celsius) or not was_near:
        return forecasting.ask_in_time(new, step, now)
    return _up(new, step, event.celsius, now)


def is_odd(state: DinnerState, step: Step, celsius: float, now: Now) -> bool:
    """Whether a core can hardly read this, or hardly have come to it since its last reading."""
    before = _last(state, step.id)
    if is_impossible(step, celsius):
        return True
    if before is None:
        return False
    minutes = max(1.0, (now.instant - before.at) / 60)
    rise = (before.celsius - celsius) if cools(step) else (celsius - before.celsius)
    return rise < -ODD_FALL_C or rise > ODD_RISE_C + ODD_RISE_C_PER_MIN * minutes


def is_impossible(step: Step, celsius: float) -> bool:
    """Whether no core reads this: below freezing, or hotter than its oven or than moist food gets.

    What is cooled or thawed may come from an oven or from a freezer.
    """
    if is_cold_work(step):
        return not FREEZER_C <= celsius <= BOILING_C
    ovens = [use.at.celsius + OVER_OVEN_C for use in step.uses if use.at is not None]
    return not FREEZING_C <= celsius <= min([BOILING_C, *ovens])


def kept(state: DinnerState, of: str, celsius: float, now: Now) -> DinnerState:
    """The same state with this reading; what it makes too many of is thinned."""
    reading = Reading(of=of, celsius=celsius, at=now.instant)
    refused = tuple(one for one in state.refused if one.of != of)
    return replace(state, readings=thinned((*state.readings, reading), of), refused=refused)


def thinned(readings: tuple[Reading, ...], of: str) -> tuple[Reading, ...]:
    """The same readings, those of one thing put together where there are too many, in the order of time."""
    own = [one for one in readings if one.of == of]
    if len(own) <= MOST_KEPT:
        return readings
    early, recent = own[:-RECENT], own[-RECENT:]
    span_s = (early[-1].at - early[0].at) / COARSE
    bins: list[list[Reading]] = []
    for one in early:
        if bins and one.at - bins[-1][0].at < span_s:
            bins[-1].append(one)
        else:
            bins.append([one])
    others = (one for one in readings if one.of != of)
    return tuple(sorted((*others, *map(_mean, bins), *recent), key=lambda one: one.at.s))


def _mean(some: Sequence[Reading]) -> Reading:
    begin = some[0]
    later_s = sum(one.at - begin.at for one in some) / len(some)
    return replace(begin, at=begin.at + later_s, celsius=sum(one.celsius for one in some) / len(some))


def _last(state: DinnerState, of: str) -> Reading | None:
    return next((one for one in reversed(state.readings) if one.of == of), None)


def _noted(state: DinnerState, of: str, celsius: float, now: Now) -> DinnerState:
    """The same state knowing of a reading that was left out, and whether it goes on saying so."""
    before = next((one for one in state.refused if one.of == of), None)
    note = Refused(of=of, celsius=celsius, at=now.instant, since=now.instant)
    if before is not None and abs(before.celsius - celsius) <= ALIKE_C:
        note = replace(note, since=before.since, count=before.count + 1)
    others = tuple(one for one in state.refused if one.of != of)
    return replace(state, refused=(*others, note))


def _is_trusted_again(refused: Refused) -> bool:
    return refused.count >= TRUSTED_AGAIN and refused.at - refused.since >= TRUSTED_AGAIN_S


def _up(state: DinnerState, step: Step, celsius: float, now: Now) -> Outcome:
    """A probe says that it is there: the step is up and called."""
    up = moves.run_out(state, step.id, now) or state
    thing = short_name(step, state.plan) if state.plan else step.name
    said = said_celsius(state, celsius)
    key = "reading.up.off" if step.is_for_table else "reading.up"
    call = Call(
        kind=CallKind.UP,
        text=wording.say(key, thing=thing, degrees=said, step=wording.said_thing(step)),
        short=wording.say("up.again", step=wording.said_thing(step)),
        least=wording.say("up.least", thing=thing),
        at=now.instant,
        step=step.id,
        state=StepState.UP,
    )
    return Outcome(state=calls.add(up, call), replans=True)


def said_celsius(state: DinnerState, celsius: float) -> str:
    """Degrees Celsius as they are spoken in the plan's scale."""
    return wording.said_celsius(celsius, scale_of(state.plan))


def told(state: DinnerState, step: Step, target: Temperature, degrees: float, now: Now) -> Outcome:
    """A reading the cook told, which can be: it is there, or how far it is and when it will be."""
    celsius = Temperature(degrees=degrees, scale=target.scale).celsius
    said = wording.said_degrees(degrees)
    new = kept(state, step.id, celsius, now)
    if not forecasting.is_there(state, step, celsius):
        return forecasting.owe(new, step, degrees, now)
    if state.state_of(step.id) is StepState.HELD:
        new = moves.carry_on(new, step.id, now) or new
    up = moves.run_out(new, step.id, now) or new
    is_early = celsius < target.celsius - forecasting.THERE_C and not cools(step)
    key = "reading.off" if is_early else "reading.there"
    reply = wording.say(key, degrees=said, step=wording.said_thing(step))
    return Outcome(state=up, reply=reply, replans=True, what=said)
