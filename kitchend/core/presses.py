"""What a finger may press instead of saying it: each press is the phrase a cook would say, so nothing else
moves.

Which presses make sense in a state is decided here; what they do is decided where the phrase is obeyed. A
name in a phrase is the step's own, never its dish's, so that a press is about what it stands on. Every phrase
here is read by the phrasebook; a test tries them all.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.names import spoken
from kitchend.core.plan import Step
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timers import Timer
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause

MORE_MINUTES = (1, 5)
"""How much time one press gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One thing to press. `key` names its label in the board's words, `words` are what it says."""

    key: str
    words: str


@of_state
def step_presses(state: DinnerState, step: Step) -> tuple[Press, ...]:
    """What can be done about a step that goes, the likeliest first."""
    name = spoken(step.name)
    done, drop = _press("done", name), _press("drop", name)
    match state.state_of(step.id):
        case StepState.CALLED:
            return (_press("on", name), done, drop)
        case StepState.ON if step.is_hands_only:
            return (done, drop)
        case StepState.ON:
            return (done, *_more(name), _press("hold", name), drop)
        case StepState.UP:
            return (done, *_more(name), drop)
        case StepState.HELD:
            return (_press("carry on", name), done, drop)
        case _:
            return ()


@of_state
def timer_presses(state: DinnerState, timer: Timer) -> tuple[Press, ...]:
    """What can be done about a timer the cook asked for; one that has rung is answered."""
    name = spoken(timer.name)
    if any(call.timer == timer.id for call in state.open_calls):
        return (_press("heard"), *_more(name))
    drop = _press("drop", name)
    if timer.is_held:
        return (_press("carry on", name), drop)
    return (*_more(name), _press("hold", name), drop)


def _press(key: str, name: str = "") -> Press:
    return Press(key=key, words=clause(f"press.{key}", name=name))


def _more(name: str) -> tuple[Press, ...]:
    return tuple(
        Press(
            key=f"more {minutes}",
            words=clause("press.more" if minutes > 1 else "press.more.one", name=name, minutes=str(minutes)),
        )
        for minutes in MORE_MINUTES
    )


@of_state
def answers(state: DinnerState) -> tuple[Press, ...]:
    """What answers the question that was asked; a choice's key is its own name after a colon."""
    asked = state.asked
    if asked is None:
        return ()
    choices = tuple(Press(key=f":{choice.name}", words=spoken(choice.name)) for choice in asked.choices)
    yes = (_press("yes"),) if asked.yes is not None else ()
    return (*choices, *yes, _press("no"))


@of_state
def talk_presses(state: DinnerState) -> tuple[Press, ...]:
    """What can be said about the conversation itself."""
    found = [_press("again")]
    if state.open_calls:
        found.insert(0, _press("heard"))
    if state.speaking is not None or state.waiting_calls:
        found.append(_press("quiet"))
    if state.past:
        found.append(_press("undo"))
    if state.plan is not None and state.served_at is None:
        found.append(_press("later"))
    return tuple(found)
