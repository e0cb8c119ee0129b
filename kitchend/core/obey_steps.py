"""Commands that move steps: naming one, holding, carrying on, dropping.

Applies the naming rule: what kitchend last asked for about a step has been done. Starting a step whose
forerunner was only waiting for a word finishes that one too. What could do harm is asked back.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import moves, safety, wording
from kitchend.core.clock import Now
from kitchend.core.commands import (
    AskTimeLeft,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    Hold,
    ReadingSaid,
    Said,
    StepSaid,
)
from kitchend.core.names import names_of, short_name
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.plan import Step
from kitchend.core.progress import blockers
from kitchend.core.resolve import Found, find_running, find_said, is_answerable, steps_named
from kitchend.core.state import Asked, Choice, DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer, timer_of_step

LAPSE_S = 25.0
"""How long a question waits for its answer."""

OfOneStep = StepSaid | Hold | CarryOn | GiveTime | AskTimeLeft | ReadingSaid
"""Commands that are about one step, so that a name that fits several has to be asked about."""


def thing(state: DinnerState, step: Step) -> str:
    """How a step's dish is called in a reply."""
    return short_name(step, state.plan) if state.plan is not None else step.name


def done_name(state: DinnerState, step: Step) -> str:
    """How a step is called once it is done: "greens trimmed", or its dish and "done"."""
    actions = names_of(state).actions.values()
    action = next((action for action in actions if step.id in action.steps and action.done), None)
    if action is None:
        return wording.clause("is.done.plain", thing=thing(state, step))
    return wording.clause("is.done", name=action.name, thing=action.thing, done=action.done[0])


def doing_name(state: DinnerState, step: Step) -> str:
    """How a step is called while hands are on it: "trimming the greens"."""
    actions = names_of(state).actions.values()
    action = next((action for action in actions if step.id in action.steps and action.doing), None)
    if action is None:
        return wording.said_step(step)
    return wording.clause("is.doing", name=action.name, thing=action.thing, doing=action.doing[0])


def say_step(state: DinnerState, command: StepSaid, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "greens", "greens are on", "chicken rested"."""
    if command.name is not None and not steps_named(state, command.name):
        return refusal(state, wording.say("unknown", name=command.name))
    found = find_said(state, command.name, command.how)
    if found.several:
        return ask_which(state, found, now, command)
    if found.step is None:
        what = found.ended[-1] if found.ended else None
        return refusal(
            state, "" if what is None else wording.say("done.already", thing=done_name(state, what))
        )
    is_unnamed = command.name is None
    return advance(state, found.step, command.how, now, is_sure=is_sure, is_unnamed=is_unnamed)


def advance(
    state: DinnerState, step: Step, how: Said, now: Now, *, is_sure: bool = False, is_unnamed: bool = False
) -> Outcome:
    """Move one step on as the naming rule has it; "done" alone after a warning means ready for it."""
    match state.state_of(step.id):
        case StepState.WAITING if how is Said.NAME or (how is Said.DONE and is_unnamed):
            return _tell_due(state, step, now)
        case StepState.WAITING if how is Said.DONE and step.is_hands_only:
            return start_step(state, step, now, is_sure=is_sure, finishes=True)
        case StepState.CALLED if how is Said.DONE and _could_be_over(state, step, now):
            return start_step(state, step, now, is_sure=is_sure, finishes=True)
        case StepState.WAITING | StepState.CALLED:
            return start_step(state, step, now, is_sure=is_sure)
        case StepState.ON if not step.is_hands_only and how is not Said.DONE:
            return _tell_left(state, step, now)
        case StepState.ON if step.is_hands_only and how is Said.ON:
            return refusal(state, wording.say("doing", doing=doing_name(state, step)))
        case StepState.UP if how is Said.ON:
            return refusal(state, wording.say("up.already", thing=thing(state, step)))
        case StepState.ON | StepState.UP | StepState.HELD:
            asked, text = (state, "") if is_sure else safety.below(state, step)
            if text:
                return ask_yes(asked, text, StepSaid(name=step.name, how=Said.DONE), now)
            return finish_step(state, step, now)
        case _:
            return refusal(state, wording.say("done.already", thing=done_name(state, step)))


def start_step(
    state: DinnerState, step: Step, now: Now, *, is_sure: bool = False, finishes: bool = False
) -> Outcome:
    """Put a step on (`finishes`: straight to done); forerunners that only wait for a word are done too."""
    how = Said.DONE if finishes else Said.ON
    asked, text = (state, "") if is_sure else safety.below_before(state, step)
    if text:
        return ask_yes(asked, text, StepSaid(name=step.name, how=how), now)
    running = [before for before in blockers(state, step) if not is_answerable(state, before)]
    if running and not is_sure:
        return _ask_early(state, step, running[0], now, how)
    new: DinnerState | None = state
    for before in blockers(state, step):
        new = new and moves.finish(new, before.id, now)
    new = new and (moves.finish(new, step.id, now) if finishes else moves.start(new, step, now))
    if new is None:
        return refusal(state)
    reply = wording.say("doing", doing=doing_name(state, step))
    timer = timer_of_step(new.timers, step.id)
    if finishes:
        reply = wording.say("done", thing=done_name(state, step))
    elif timer is not None:
        reply = wording.say("on.time", thing=thing(state, step), time=_left_words(timer, now))
    return Outcome(state=new, reply=reply + _wash(step, finishes), replans=True, what=reply)


def finish_step(state: DinnerState, step: Step, now: Now) -> Outcome:
    """The cook says it is done."""
    new = moves.finish(state, step.id, now)
    if new is None:
        return refusal(state)
    reply = wording.say("done", thing=done_name(state, step))
    return Outcome(state=new, reply=reply + _wash(step, step.is_hands_only), replans=True, what=reply)


def hold(state: DinnerState, command: Hold, now: Now) -> Outcome:
    """ "hold the greens": a step's time, or a cook's own timer."""
    found = find_running(state, command.name, lambda step: state.state_of(step.id) is StepState.ON)
    if found.several:
        return ask_which(state, found, now, command)
    if found.timer is not None:
        new = moves.put_timer(state, found.timer.hold(now.instant))
        what, left = found.timer.name, found.timer.remaining_s(now.instant)
    elif found.step is not None and (timer := timer_of_step(state.timers, found.step.id)) is not None:
        new = moves.hold(state, found.step.id, now) or state
        what, left = thing(state, found.step), timer.remaining_s(now.instant)
    else:
        return refuse_name(state, found, command.name)
    reply = wording.say("held", thing=what, time=wording.said_duration(left))
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def carry_on(state: DinnerState, command: CarryOn, now: Now) -> Outcome:
    """ "carry on with the greens"."""
    found = find_running(state, command.name, lambda step: state.state_of(step.id) is StepState.HELD)
    if found.several:
        return ask_which(state, found, now, command)
    if found.timer is not None and found.timer.is_held:
        new = moves.put_timer(state, found.timer.carry_on(now.instant))
        what, left = found.timer.name, found.timer.remaining_s(now.instant)
    elif found.step is not None and (timer := timer_of_step(state.timers, found.step.id)) is not None:
        new = moves.carry_on(state, found.step.id, now) or state
        what, left = thing(state, found.step), timer.remaining_s(now.instant)
    else:
        return refuse_name(state, found, command.name)
    reply = wording.say("carried", thing=what, time=wording.capital(wording.said_duration(left)))
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def drop(state: DinnerState, command: Drop, now: Now, *, is_sure: bool = False) -> Outcome:
    """ "drop the greens": a whole dish, one step or a cook's timer; asked back first."""
    steps = [s for s in steps_named(state, command.name) if not state.record_of(s.id).has_ended]
    found = find_running(state, command.name, lambda step: step in steps)
    name = found.timer.name if found.timer is not None else command.name
    if found.timer is None and not steps:
        return refuse_name(state, found, command.name)
    if not is_sure:
        is_action = name is not None and name in names_of(state).actions
        return ask_yes(state, _ask_drop(None if is_action else name, steps), command, now)
    if found.timer is not None:
        new = moves.remove_timer(state, found.timer.id)
        new = replace(new, open_calls=tuple(c for c in new.open_calls if c.timer != found.timer.id))
    else:
        new = state
        for step in steps:
            new = moves.drop(new, step.id, now) or new
    reply = wording.say("dropped", thing=name or thing(state, steps[0]))
    return Outcome(state=new, reply=reply, replans=True, what=reply)


def _ask_drop(name: str | None, steps: list[Step]) -> str:
    if name is None:
        return wording.say("leave?", step=wording.said_step(steps[0]))
    return wording.say("drop?", step=wording.clause("the", thing=name.removeprefix("the ")))


def ask_yes(state: DinnerState, text: str, command: Command, now: Now) -> Outcome:
    """Ask for a yes before doing this."""
    asked = Asked(text=text, lapses=now.instant + LAPSE_S, yes=Choice(name="yes", command=command))
    return Outcome(state=replace(state, asked=asked), reply=text)


def ask_which(state: DinnerState, found: Found, now: Now, command: OfOneStep) -> Outcome:
    """Ask which of several steps is meant; each choice is the same command with that step's own name."""
    choices = tuple(
        Choice(name=step.name, command=replace(command, name=step.name), step=step.id)
        for step in found.several
    )
    text = wording.said_choices(wording.said_step(step) for step in found.several) + "?"
    asked = Asked(text=text, lapses=now.instant + LAPSE_S, choices=choices)
    return Outcome(state=replace(state, asked=asked), reply=text)


def refuse_name(state: DinnerState, found: Found, name: str | None) -> Outcome:
    """Nothing of that name is in the right state."""
    if found.step is not None:
        return refusal(state, wording.say("left.hands", thing=thing(state, found.step)))
    if found.ended or name is None:
        what = thing(state, found.ended[0]) if found.ended else "that"
        return refusal(state, wording.say("left.none", thing=what))
    return refusal(state, wording.say("unknown", name=name))


def _ask_early(state: DinnerState, step: Step, before: Step, now: Now, how: Said) -> Outcome:
    text = wording.say("early?", blocker=wording.said_step(before), step=wording.said_step(step))
    return ask_yes(state, text, StepSaid(name=step.name, how=how), now)


def _could_be_over(state: DinnerState, step: Step, now: Now) -> bool:
    """Hands work may be done as soon as it was called; a clock must have had its time since."""
    called = state.record_of(step.id).called_at
    return step.is_hands_only or (called is not None and now.instant - called >= step.takes.low_s)


def _tell_due(state: DinnerState, step: Step, now: Now) -> Outcome:
    planned = state.timeline.of(step.id) if state.timeline else None
    when = wording.said_when(planned.start, now.wall) if planned else wording.say("not.yet.later")
    return refusal(state, wording.say("not.yet", step=wording.said_step(step), when=when))


def _tell_left(state: DinnerState, step: Step, now: Now) -> Outcome:
    timer = timer_of_step(state.timers, step.id)
    left = "" if timer is None else _left_words(timer, now)
    return refusal(state, wording.say("on.already", thing=thing(state, step), time=left))


def _left_words(timer: Timer, now: Now) -> str:
    """ "Four minutes", or both ends of what is left of a guess."""
    return wording.capital(wording.said_remaining(timer.remaining_s(now.instant), timer.spread_s))


def _wash(step: Step, is_over: bool) -> str:
    """The reminder to wash hands once raw things have been handled."""
    handled = step.raw is not None and (is_over or not step.is_hands_only)
    return " " + wording.say("wash", raw=step.raw or "") if handled else ""
