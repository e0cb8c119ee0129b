"""The forecast of a core in the dinner: when one is asked for, what it moves, and what is said of it.

A reading the cook told is answered once the forecast is there, or without one when that takes too long. Of
what a probe brings only what changes is said, once: the first forecast, a plateau, its end, a target out of
reach. The step's timer follows the forecast, and the rest is planned again when that moved enough.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import calls, moves, wording
from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind, MakeForecast
from kitchend.core.events import ForecastMade
from kitchend.core.food_places import cools, is_cold_work
from kitchend.core.forecasts import Forecast, Outlook, Owed
from kitchend.core.names import short_name
from kitchend.core.outcome import Outcome
from kitchend.core.plan import Step, StepId
from kitchend.core.quantities import DurationRange, Scale, in_scale
from kitchend.core.state import Call, DinnerState, Reading
from kitchend.core.steps import StepState
from kitchend.core.timers import timer_of_step

LEAST_READINGS = 3
"""Fewer decide nothing: no forecast is asked for."""
LEAST_PAUSE_S, MOST_PAUSE_S, PAUSE_SHARE = 60.0, 300.0, 1 / 12
"""A probe's readings are made a forecast of so often: the nearer the end, the more often. In between, what
makes forecasts may rest."""
PATIENCE_S = 6.0
"""How long the answer to a reading waits for its forecast."""
STALE_S = 1200.0
"""A forecast holds so long where a later one cannot tell."""
LEAST_CARRY_C = 3.0
"""The least that resting adds (published: 3 to 14 C), where no forecast says more."""
LOOK_S = 180.0
"""A core that was just read is not asked for sooner than this."""
FRESH_S = 300.0
"""A reading this young makes asking for one needless."""
MOVED_S, MOVED_SHARE = 180.0, 0.1
"""The rest is planned again when the middle moved by this much, and by this share of what is left ..."""
SURER = 0.6
"""... or when the range became so much narrower."""
NARROWEST_S = 60
THERE_C = 0.05
"""So little short of a number is there: half of what a probe's last place shows."""


def take_off_c(state: DinnerState, step: Step) -> float:
    """The reading at which a step that ends by one is up: its target, or where resting brings that."""
    target = step.until.celsius if step.until is not None else 0.0
    if not step.is_for_table:
        return target
    known = state.forecasts.get(step.id)
    pull_c = known.pull_c if known is not None else None
    return target - LEAST_CARRY_C if pull_c is None else pull_c


def is_there(state: DinnerState, step: Step, celsius: float) -> bool:
    """Whether a core at this reading is where its step ends: risen to it, or fallen where the step cools."""
    off_c = take_off_c(state, step)
    return celsius <= off_c + THERE_C if cools(step) else celsius >= off_c - THERE_C


def current(state: DinnerState, step: Step) -> Forecast | None:
    """The forecast of a step that is on; None where there is none."""
    return state.forecasts.get(step.id) if state.state_of(step.id) is StepState.ON else None


def takes_by_forecast(state: DinnerState, step: Step) -> DurationRange | None:
    """What a step that is on takes by its forecast, from when it was called; None where no moment is given.

    Both ends of the 80 % range, as `takes` of a step with `until` is one.
    """
    known, record = current(state, step), state.record_of(step.id)
    began = record.called_at or record.on_at
    if known is None or known.low is None or known.high is None or began is None:
        return None
    low = max(1, round(known.low - began))
    return DurationRange(low_s=low, high_s=max(low + NARROWEST_S, round(known.high - began)))


def readings_of(state: DinnerState, step: StepId) -> tuple[Reading, ...]:
    """The kept readings of a step's core, in the order of time."""
    return tuple(one for one in state.readings if one.of == step)


def is_fresh(state: DinnerState, step: Step, now: Now) -> bool:
    """Whether a core was read just now, so that nobody need be asked for it."""
    read = readings_of(state, step.id)
    return bool(read) and now.instant - read[-1].at <= FRESH_S


def ask_in_time(state: DinnerState, step: Step, now: Now) -> Outcome:
    """The outcome of a probe's reading: a forecast is asked for, unless the last one is young."""
    asked = state.forecasts_asked.get(step.id)
    if asked is not None and now.instant - asked < _pause_s(state.forecasts.get(step.id), now):
        return Outcome(state=state)
    return _ask(state, step, now)


def _pause_s(known: Forecast | None, now: Now) -> float:
    if known is None or known.middle is None:
        return MOST_PAUSE_S
    return min(max(PAUSE_SHARE * (known.middle - now.instant), LEAST_PAUSE_S), MOST_PAUSE_S)


def owe(state: DinnerState, step: Step, degrees: float, now: Now) -> Outcome:
    """The outcome of a reading the cook told: an answer now, or once the forecast is there."""
    said = wording.said_degrees(degrees)
    outcome = _ask(state, step, now)
    if not outcome.effects:
        reply = _plain(state, step, degrees)
        return replace(outcome, reply=reply, what=said)
    owed = Owed(step=step.id, degrees=degrees, at=now.instant)
    others = tuple(one for one in state.owed if one.step != step.id)
    return replace(outcome, state=replace(outcome.state, owed=(*others, owed)), what=said)


def _ask(state: DinnerState, step: Step, now: Now) -> Outcome:
    is_on = state.state_of(step.id) is StepState.ON
    if not is_on or is_cold_work(step) or len(readings_of(state, step.id)) < LEAST_READINGS:
        return Outcome(state=state)
    asked = {**state.forecasts_asked, step.id: now.instant}
    return Outcome(state=replace(state, forecasts_asked=asked), effects=(MakeForecast(step=step.id),))


def lapse(state: DinnerState, now: Now) -> DinnerState:
    """The same state; an answer that waited too long for its forecast is given without."""
    late = [one for one in state.owed if one.at + PATIENCE_S <= now.instant]
    for one in late:
        state = calls.reply(state, _plain(state, state.step(one.step), one.degrees))
    return state if not late else replace(state, owed=tuple(one for one in state.owed if one not in late))


def lapse_moments(state: DinnerState) -> tuple[Instant, ...]:
    """When the answers that wait for a forecast will have waited long enough."""
    return tuple(one.at + PATIENCE_S for one in state.owed)


def _plain(state: DinnerState, step: Step, degrees: float) -> str:
    """The answer without a forecast: how far it is to where it comes off."""
    off = _degrees(take_off_c(state, step), step)
    said, rest = wording.said_degrees(degrees), wording.said_more(abs(off - degrees))
    is_told = state.state_of(step.id) is StepState.ON and not is_cold_work(step)
    key = "reading.soon" if is_told else "reading.above" if cools(step) else "reading.below"
    return wording.say(key, degrees=said, rest=rest)


def made(state: DinnerState, event: ForecastMade, now: Now) -> Outcome:
    """A forecast is there: the timer follows it, what was owed is answered, what changed is said once."""
    step = next((step for step in state.steps if step.id == event.forecast.step), None)
    owed = [one for one in state.owed if one.step == event.forecast.step]
    state = replace(state, owed=tuple(one for one in state.owed if one not in owed))
    if step is None or step.until is None or state.state_of(step.id) is not StepState.ON:
        return Outcome(state=state)
    known = _held_on_to(state.forecasts.get(step.id), event.forecast)
    state = _with_timer(replace(state, forecasts={**state.forecasts, step.id: known}), step, known, now)
    was_told = state.outlooks_told.get(step.id)
    is_news = known.outlook is not was_told and known.outlook not in (Outlook.CANNOT_TELL, Outlook.REACHED)
    if is_news:
        state = replace(state, outlooks_told={**state.outlooks_told, step.id: known.outlook})
    replans = _has_moved(state, step, known, now)
    if replans:
        state = replace(state, planned_by={**state.planned_by, step.id: known})
    if owed:
        reply = _answer(state, step, known, owed[-1].degrees, is_news, now)
        return Outcome(state=state, reply=reply, replans=replans)
    text = _news(state, step, known, now) if is_news else ""
    if text:
        state = calls.add(state, Call(kind=CallKind.SOON, text=text, at=now.instant))
    return Outcome(state=state, replans=replans)


def _held_on_to(before: Forecast | None, new: Forecast) -> Forecast:
    """The new forecast, or the one before it where the new one cannot tell and that is not old."""
    is_young = before is not None and new.at - before.at <= STALE_S
    if new.outlook is Outlook.CANNOT_TELL and before is not None and before.low is not None and is_young:
        return before
    return new


def _with_timer(state: DinnerState, step: Step, known: Forecast, now: Now) -> DinnerState:
    """The step's timer runs to the forecast's range; without one, to the plan's."""
    timer = timer_of_step(state.timers, step.id)
    record = state.record_of(step.id)
    if timer is None or timer.due is None or record.on_at is None:
        return state
    low, high = known.low, known.high
    if low is None or high is None:
        if step.id not in state.planned_by:
            return state
        low = record.on_at + step.takes.low_s + record.given_s
        high = record.on_at + step.takes.high_s + record.given_s
    due = max(low, now.instant + LOOK_S)
    return moves.put_timer(state, replace(timer, due=due, spread_s=high - due))


def _has_moved(state: DinnerState, step: Step, known: Forecast, now: Now) -> bool:
    """Whether what the rest was last planned by is so far off that it should be planned again."""
    before = state.planned_by.get(step.id)
    if known.middle is None or before is None or before.middle is None:
        return known.middle is not None or (before is not None and before.middle is not None)
    left_s = known.middle - now.instant
    moved_s = abs(known.middle - before.middle)
    is_surer = known.give_or_take_s < SURER * before.give_or_take_s - NARROWEST_S
    return moved_s >= max(MOVED_S, MOVED_SHARE * left_s) or is_surer


def _answer(state: DinnerState, step: Step, known: Forecast, degrees: float, is_news: bool, now: Now) -> str:
    said = wording.said_degrees(degrees)
    match known.outlook:
        case Outlook.RISING:
            key = "forecast.off" if step.is_for_table else "forecast"
            return wording.say(key, degrees=said, **_facts(step, known, now))
        case Outlook.PLATEAU:
            key = "plateau" if is_news else "plateau.still"
            return wording.say(key, degrees=said, thing=_thing(state, step))
        case Outlook.OUT_OF_REACH:
            return _out_of_reach(state, step, said)
        case _:
            return _plain(state, step, degrees)


def _news(state: DinnerState, step: Step, known: Forecast, now: Now) -> str:
    said, thing = _said_last(state, step), _thing(state, step)
    match known.outlook:
        case Outlook.RISING:
            key = "forecast.off.told" if step.is_for_table else "forecast.told"
            return wording.say(key, thing=thing, degrees=said, **_facts(step, known, now))
        case Outlook.PLATEAU:
            return wording.say("plateau", thing=thing, degrees=said)
        case _:
            return _out_of_reach(state, step, said)


def left(state: DinnerState, step: Step, now: Now) -> str:
    """How long a step has by its forecast, to be said; empty where no forecast has anything to say."""
    known = current(state, step)
    if known is None:
        return ""
    thing, said = _thing(state, step), _said_last(state, step)
    match known.outlook:
        case Outlook.RISING if known.middle is not None:
            key = "left.forecast.off" if step.is_for_table else "left.forecast"
            time = wording.said_duration(max(0.0, known.middle - now.instant))
            return wording.say(key, thing=thing, time=time, **_facts(step, known, now))
        case Outlook.PLATEAU:
            return wording.say("left.plateau", thing=thing, degrees=said)
        case Outlook.OUT_OF_REACH:
            return wording.say("left.out.of.reach", thing=thing, degrees=said, target=_target(step))
        case _:
            return ""


def _out_of_reach(state: DinnerState, step: Step, said: str) -> str:
    return wording.say("out.of.reach", thing=_thing(state, step), degrees=said, target=_target(step))


def _facts(step: Step, known: Forecast, now: Now) -> dict[str, str]:
    """Target, moment and spread as they are spoken."""
    middle = now.wall_of(known.middle or now.instant)
    pull_c = known.pull_c if known.pull_c is not None else 0.0
    return {
        "target": _target(step),
        "pull": wording.said_degrees(_degrees(pull_c, step)),
        "when": wording.said_day(middle, now.wall),
        "spread": wording.said_duration(max(60.0, known.give_or_take_s)),
    }


def _target(step: Step) -> str:
    return wording.said_temperature(step.until) if step.until is not None else ""


def _thing(state: DinnerState, step: Step) -> str:
    return short_name(step, state.plan) if state.plan is not None else step.name


def _said_last(state: DinnerState, step: Step) -> str:
    read = readings_of(state, step.id)
    return wording.said_degrees(_degrees(read[-1].celsius, step)) if read else ""


def _degrees(celsius: float, step: Step) -> float:
    """Degrees Celsius in the scale of the step's target."""
    return in_scale(celsius, step.until.scale if step.until is not None else Scale.CELSIUS)
