"""Questions answered: how long, what is next, what is on, when we eat, are we on time.

Reads the state and says it; changes nothing. Every answer is one short sentence with the fact asked for.
"""

from __future__ import annotations

from kitchend.core import calls, forecasting, wording, wording_calls
from kitchend.core.clock import Now
from kitchend.core.commands import AskTimeLeft
from kitchend.core.obey_steps import ask_which, refuse_name, thing
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.pass_talk import passes_to_come, said_late, said_passes, said_times, too_late
from kitchend.core.plan import Step
from kitchend.core.progress import coming, steps_in
from kitchend.core.replans import LATE_S
from kitchend.core.resolve import find_running, steps_named
from kitchend.core.state import Call, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer, timer_of_step

LIST_LIMIT = 4
"""How many things are named in one breath."""


def time_left(state: DinnerState, command: AskTimeLeft, now: Now) -> Outcome:
    """ "how long on the rice": what is running of that name, or when it comes."""

    def runs(step: Step) -> bool:
        return state.state_of(step.id) in (StepState.ON, StepState.HELD, StepState.UP)

    found = find_running(state, command.name, runs)
    if found.several:
        timed = [step for step in found.several if timer_of_step(state.timers, step.id) is not None]
        if len(timed) != 1:
            return ask_which(state, found, now, command)
        return refusal(state, _left(state, timed[0], now))
    if found.timer is not None:
        return refusal(state, _timer_left(found.timer, now))
    if found.step is not None:
        return refusal(state, _left(state, found.step, now))
    called = [s for s in steps_named(state, command.name) if state.state_of(s.id) is StepState.CALLED]
    if called:
        step = wording.said_list(map(wording.said_step, called))
        return refusal(state, wording.say("next.waiting", step=step))
    later = [s for s in steps_named(state, command.name) if state.state_of(s.id) is StepState.WAITING]
    planned = state.timeline.of(later[0].id) if later and state.timeline else None
    if planned is not None:
        when = wording.said_when(planned.start, now.wall)
        return refusal(state, wording.say("not.yet", step=wording.said_step(later[0]), when=when))
    return refuse_name(state, found, command.name)


def _left(state: DinnerState, step: Step, now: Now) -> str:
    timer = timer_of_step(state.timers, step.id)
    record, name = state.record_of(step.id), thing(state, step)
    if timer is None:
        if record.state is StepState.UP and record.up_at is not None:
            over = wording.said_duration(now.instant - record.up_at)
            return wording.say("left.over", thing=name, time=over)
        return wording.say("left.hands", thing=name)
    if by_forecast := forecasting.left(state, step, now):
        return by_forecast
    words = wording.said_remaining(timer.remaining_s(now.instant), timer.spread_s)
    if step.until is None:
        return wording.say("left", thing=name, time=words)
    target = wording.said_temperature(step.until)
    key = "left.until.table" if step.is_for_table else "left.until"
    return wording.say(key, thing=name, time=words, target=target)


def _timer_left(timer: Timer, now: Now) -> str:
    left = timer.remaining_s(now.instant)
    if left < 0:
        return wording.say("left.over", thing=timer.name, time=wording.said_duration(-left))
    return wording.say("left", thing=timer.name, time=wording.said_duration(left))


def next_up(state: DinnerState, now: Now) -> Outcome:
    """ "what's next": what waits for the cook first, then the next planned step."""
    if state.plan is None:
        return refusal(state, wording.say("no.dinner"))
    waiting = steps_in(state, StepState.CALLED, StepState.UP)
    said = (
        [wording.say("next.waiting", step=wording.said_list(map(wording.said_step, waiting)))]
        if waiting
        else []
    )
    for step, planned in coming(state)[:1]:
        when = wording.said_when(planned.start, now.wall)
        said.append(wording.say("next", step=wording.said_step(step), when=when))
    return refusal(state, " ".join(said) or wording.say("next.nothing"))


def whats_on(state: DinnerState, now: Now) -> Outcome:
    """ "what's on": everything whose time runs, the soonest first."""
    running = sorted(state.timers, key=lambda timer: timer.remaining_s(now.instant))
    said = []
    for timer in running[:LIST_LIMIT]:
        name = timer.name if timer.step is None else thing(state, state.step(timer.step))
        said.append(_beside_others(timer, name, now))
    hands = [s for s in steps_in(state, StepState.ON) if s.is_hands_only]
    said.extend(wording.said_step(step) for step in hands[:LIST_LIMIT])
    if not said:
        return refusal(state, wording.say("whats.on.nothing"))
    return refusal(state, wording.say("whats.on", list="; ".join(said)))


def _beside_others(timer: Timer, name: str, now: Now) -> str:
    left, spread = timer.remaining_s(now.instant), timer.spread_s
    if left + spread <= 0:
        return wording.clause("whats.on.up" if timer.step is None else "whats.on.over", name=name)
    return f"{name}, {wording.said_remaining(left, spread)}"


def missed(state: DinnerState) -> Outcome:
    """ "what did I miss": every call that waits for an answer, in one breath; it counts as called by that."""
    told = calls.in_order(state)
    up, acts = _missed(state, told, is_up=True), _missed(state, told, is_up=False)
    text = wording_calls.missed(up, acts)
    return Outcome(state=calls.told(state), reply=text)


def _missed(state: DinnerState, told: list[Call], *, is_up: bool) -> list[str]:
    """What is up as things, or what is to be done as it is called."""
    found = []
    for call in told:
        timer = next((timer for timer in state.timers if timer.id == call.timer), None)
        if timer is not None and (timer.remind is None) is is_up:
            found.append(wording_calls.timer_clause(timer))
        if call.step is not None and (call.state is StepState.UP) is is_up:
            step = state.step(call.step)
            found.append(wording_calls.up_clause(step) if is_up else wording.said_step(step))
    return found


def the_pass(state: DinnerState, now: Now) -> Outcome:
    """ "when do we eat"."""
    if state.serve is None:
        return refusal(state, wording.say("no.dinner"))
    late = too_late(state, LATE_S)
    if not late:
        return refusal(state, said_passes(state, now))
    if len(passes_to_come(state)) > 1:
        told = [said_late(state, one, now) for one in late]
        return refusal(state, " ".join([said_passes(state, now), *told]))
    when = wording.said_day(late[0].ready, now.wall)
    return refusal(state, wording.say("pass.late", when=when, late=wording.said_duration(late[0].late_s)))


def on_time(state: DinnerState, now: Now) -> Outcome:
    """ "are we on time"."""
    if state.serve is None:
        return refusal(state, wording.say("no.dinner"))
    late = too_late(state, LATE_S)
    if not late:
        return refusal(state, wording.say("on.time.yes", when=said_times(state, now)))
    return refusal(state, " ".join(said_late(state, one, now) for one in late))
