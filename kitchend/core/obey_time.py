"""Commands about time and temperature: giving time, new timers, readings, moving the pass, starting a dinner.

Odd numbers are asked back before anything moves. Clock times said with an hour up to twelve mean the next
such moment to come.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from kitchend.core import moves, odd, readings, wording
from kitchend.core.clock import DAY_S, Now, TimeOfDay, WallTime
from kitchend.core.commands import (
    GiveTime,
    MovePassBy,
    MovePassTo,
    ReadingSaid,
    RemindAt,
    RemindIn,
    StartDinner,
    TimeNew,
)
from kitchend.core.effects import OpenPlan
from kitchend.core.food_places import cools
from kitchend.core.names import meaning, scale_of
from kitchend.core.obey_steps import ask_which, ask_yes, refuse_name, thing
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.pass_talk import said_passes
from kitchend.core.plan import Step
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.resolve import Found, find_running, steps_named
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer, TimerId, timer_of_step

TIMED = frozenset({StepState.ON, StepState.HELD, StepState.UP})
OVEN_ODD_C = 20.0
"""An oven this far from where the plan wants it is worth a word (common practice: home ovens swing less)."""

EARLY_SHARE = 0.75
"""A first reading that is there already before this share of the shortest time was up is odd."""


def give(state: DinnerState, command: GiveTime, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "five more minutes on the greens"."""

    def has_time(step: Step) -> bool:
        return state.state_of(step.id) in TIMED and not step.is_hands_only

    found = find_running(state, command.name, has_time)
    if found.several:
        return ask_which(state, found, now, command)
    if not is_sure and _is_odd_gift(state, found, command.seconds, now):
        return ask_yes(state, _said_gift(state, found, command.seconds), command, now)
    if found.timer is not None:
        timer = _given(found.timer, command.seconds, now)
        return _given_outcome(moves.put_timer(state, timer), timer.name, timer, now)
    new = None if found.step is None else moves.give(state, found.step, command.seconds, now)
    if new is None or found.step is None:
        return refuse_name(state, found, command.name)
    step_timer = timer_of_step(new.timers, found.step.id)
    return _given_outcome(new, thing(state, found.step), step_timer, now)


def _is_odd_gift(state: DinnerState, found: Found, seconds: int, now: Now) -> bool:
    timer = found.timer or (found.step and timer_of_step(state.timers, found.step.id))
    left_s = timer.remaining_s(now.instant) if timer else 0.0
    return odd.is_odd_gift(seconds, found.step, left_s) and (found.step or found.timer) is not None


def _said_gift(state: DinnerState, found: Found, seconds: int) -> str:
    what = thing(state, found.step) if found.step is not None else found.timer.name if found.timer else ""
    key = "more?" if seconds > 0 else "off?"
    return wording.say(key, time=wording.said_duration(abs(seconds)), thing=what)


def _given(timer: Timer, seconds: int, now: Now) -> Timer:
    """The timer with more time; one that has rung already runs again for just that long."""
    if timer.is_held or timer.remaining_s(now.instant) > 0:
        return timer.give(seconds)
    return replace(timer, due=now.instant + seconds)


def _given_outcome(new: DinnerState, what: str, timer: Timer | None, now: Now) -> Outcome:
    left = timer.remaining_s(now.instant) if timer is not None else 0.0
    spread = timer.spread_s if timer is not None else 0.0
    words = wording.said_left(left, left + spread) if spread > 0 else wording.said_duration(left)
    reply = wording.say("given", thing=what, time=words)
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def time_new(state: DinnerState, command: TimeNew, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "time the eggs for nine minutes"."""
    if not is_sure and odd.is_odd_timer(command.seconds):
        what = f"{command.name}: {wording.said_duration(command.seconds)}"
        return ask_yes(state, wording.say("number?", what=what), command, now)
    timer = _own_timer(state, command.name, command.seconds, now, None)
    new = replace(moves.put_timer(state, timer), timers_made=state.timers_made + 1)
    reply = wording.say("timer.new", name=command.name, time=wording.said_duration(command.seconds))
    return Outcome(state=new, reply=reply, what=reply)


def remind(state: DinnerState, command: RemindIn | RemindAt, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "remind me in ten minutes to turn the bread"; of a time of day the reply says how long that is."""
    if isinstance(command, RemindAt):
        seconds = round(next_said(now.wall, command.time) - now.wall)
        return remind(state, RemindIn(seconds=seconds, what=command.what), now, is_sure=True)
    if not is_sure and odd.is_odd_timer(command.seconds):
        what = wording.clause("remind.plain", time=wording.said_duration(command.seconds), what=command.what)
        return ask_yes(state, wording.say("number?", what=what), command, now)
    timer = _own_timer(state, command.what, command.seconds, now, command.what)
    new = replace(moves.put_timer(state, timer), timers_made=state.timers_made + 1)
    time = wording.said_duration(command.seconds)
    reply = wording.say("remind.new", time=time, what=command.what)
    return Outcome(state=new, reply=reply, what=reply)


def _own_timer(state: DinnerState, name: str, seconds: int, now: Now, remind: str | None) -> Timer:
    timer_id = TimerId(f"own:{state.timers_made + 1}")
    return Timer(id=timer_id, name=name, due=now.instant + seconds, remind=remind)


def reading(state: DinnerState, command: ReadingSaid, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "the chicken is at sixty two", "oven reads one ninety"."""
    ends = _ending_by_reading(state, steps_named(state, command.name))
    if command.name is None and not ends:
        ends = _ending_by_reading(state, state.steps)
    if len(ends) > 1:
        return ask_which(state, Found(several=tuple(step for step, _ in ends)), now, command)
    for step, target in ends:
        celsius = Temperature(degrees=command.degrees, scale=target.scale).celsius
        if not is_sure and _is_odd(state, step, target, celsius, now):
            degrees = wording.said_degrees(command.degrees)
            what = wording.clause("reading.plain", thing=thing(state, step), degrees=degrees)
            return ask_yes(state, wording.say("number?", what=what), command, now)
        if readings.is_impossible(step, celsius):
            said = wording.said_degrees(command.degrees)
            return refusal(state, wording.say("reading.cannot", thing=thing(state, step), degrees=said))
        return readings.told(state, step, target, command.degrees, now)
    waits = _waiting_by_name(state, command.name)
    if waits is not None:
        return _waiting_reading(state, waits, command, now, is_sure=is_sure)
    equipment = None if command.name is None else meaning(command.name, state).equipment
    if equipment is not None:
        heat = Temperature(degrees=command.degrees, scale=plan_scale(state)).celsius
        if not is_sure and odd.is_odd_heat(heat):
            degrees = wording.said_degrees(command.degrees)
            what = wording.clause("reading.plain", thing=command.name or "", degrees=degrees)
            return ask_yes(state, wording.say("number?", what=what), command, now)
        return _equipment_reading(state, equipment, command.degrees, now)
    return refusal(state, wording.say("left.none", thing=command.name or wording.clause("that")))


def _waiting_by_name(state: DinnerState, name: str | None) -> Step | None:
    """What of this name rests or is kept just now, and may be read though no reading ends it."""
    named = [] if name is None else steps_named(state, name)
    on = [step for step in named if state.state_of(step.id) in TIMED and not step.is_hands_only]
    return on[0] if len(on) == 1 else None


def _waiting_reading(
    state: DinnerState, step: Step, command: ReadingSaid, now: Now, *, is_sure: bool
) -> Outcome:
    """A reading of it is kept, for whoever minds how hot it is."""
    celsius = Temperature(degrees=command.degrees, scale=scale_of(state.plan)).celsius
    said, name = wording.said_degrees(command.degrees), thing(state, step)
    if readings.is_impossible(step, celsius):
        return refusal(state, wording.say("reading.cannot", thing=name, degrees=said))
    if not is_sure and readings.is_odd(state, step, celsius, now):
        what = wording.clause("reading.plain", thing=name, degrees=said)
        return ask_yes(state, wording.say("number?", what=what), command, now)
    new = readings.kept(state, step.id, celsius, now)
    return Outcome(state=new, reply=wording.say("reading", thing=name, degrees=said), what=said)


def _ending_by_reading(state: DinnerState, steps: Iterable[Step]) -> list[tuple[Step, Temperature]]:
    """Of these steps those that are on and end by reading, with their targets."""
    on = (StepState.ON, StepState.HELD)
    return [(s, s.until) for s in steps if s.until is not None and state.state_of(s.id) in on]


def _is_odd(state: DinnerState, step: Step, target: Temperature, celsius: float, now: Now) -> bool:
    """Whether a roast can hardly read this, or have come to it since its last reading; worth asking back."""
    if any(reading.of == step.id for reading in state.readings) or readings.is_impossible(step, celsius):
        return readings.is_odd(state, step, celsius, now)
    on_at = state.record_of(step.id).on_at or now.instant
    is_early = now.instant - on_at < EARLY_SHARE * step.takes.low_s
    return is_early and (celsius <= target.celsius if cools(step) else celsius >= target.celsius)


def _equipment_reading(state: DinnerState, equipment: str, degrees: float, now: Now) -> Outcome:
    scale = plan_scale(state)
    new = readings.kept(state, equipment, Temperature(degrees=degrees, scale=scale).celsius, now)
    said = wording.said_degrees(degrees)
    for step in state.steps:
        for use in step.uses:
            is_on = state.state_of(step.id) is StepState.ON
            if use.equipment != equipment or use.at is None or not is_on or step.added:
                continue
            if abs(use.at.celsius - new.readings[-1].celsius) > OVEN_ODD_C:
                target = wording.said_temperature(use.at)
                reply = wording.say("reading.oven", thing=equipment, degrees=said, target=target)
                return Outcome(state=new, reply=reply)
    return Outcome(state=new, reply=wording.say("reading", thing=equipment, degrees=said))


def plan_scale(state: DinnerState) -> Scale:
    """The scale a plan's temperatures are written in (the first one decides), Celsius if it has none."""
    for step in state.plan.steps if state.plan else ():
        if step.until is not None:
            return step.until.scale
        for use in step.uses:
            if use.at is not None:
                return use.at.scale
    return Scale.CELSIUS


def move_pass(
    state: DinnerState, command: MovePassBy | MovePassTo, now: Now, *, is_sure: bool = False
) -> Outcome:
    """ "serve fifteen minutes later", "serve at seven thirty"."""
    if state.plan is None or state.serve is None:
        return refusal(state, wording.say("no.dinner"))
    if isinstance(command, MovePassBy):
        serve = state.serve + command.seconds
    else:
        serve = next_said(now.wall, command.time)
    if not is_sure and odd.is_odd_pass(state.serve, serve):
        return ask_yes(state, wording.say("pass?", when=wording.said_day(serve, now.wall)), command, now)
    if serve < now.wall:
        serve = now.wall
    new = replace(state, serve=serve, told_late_s=0, has_been_late=False)
    reply = said_passes(new, now)
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def next_said(wall: WallTime, time: TimeOfDay) -> WallTime:
    """The next moment a said clock time can mean; hours up to twelve count on a twelve-hour clock."""
    then = wall.next_at(time)
    if 1 <= time.hour <= 12 and then - wall > DAY_S / 2:
        return then - DAY_S / 2
    return then


def start_dinner(state: DinnerState, command: StartDinner, now: Now) -> Outcome:
    """ "cook the courtyard supper for half past seven"; refused while a dinner is on."""
    if state.plan is not None:
        return refusal(state, wording.say("dinner.on", plan=state.plan.name))
    serve = command.serve
    if serve is not None:
        serve = next_said(now.wall, serve).time_of_day
    return Outcome(
        state=state,
        reply=wording.say("opening", plan=command.plan),
        effects=(OpenPlan(name=command.plan, serve=serve),),
    )
