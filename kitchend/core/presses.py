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

MORE_MINUTES = (1, 5)
"""How much time one press gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One thing to press. `key` names its label in the board's words, `words` are what it says."""

    key: str
    words: str


def step_presses(state: DinnerState, step: Step) -> tuple[Press, ...]:
    """What can be done about a step that goes, the likeliest first."""
    name = spoken(step.name)
    done, drop = Press(key="done", words=f"{name} is done"), Press(key="drop", words=f"drop {name}")
    match state.state_of(step.id):
        case StepState.CALLED:
            return (Press(key="on", words=f"{name} is on"), done, drop)
        case StepState.ON if step.is_hands_only:
            return (done, drop)
        case StepState.ON:
            return (done, *_more(name), Press(key="hold", words=f"hold {name}"), drop)
        case StepState.UP:
            return (done, *_more(name), drop)
        case StepState.HELD:
            return (Press(key="carry on", words=f"carry on with {name}"), done, drop)
        case _:
            return ()


def timer_presses(state: DinnerState, timer: Timer) -> tuple[Press, ...]:
    """What can be done about a timer the cook asked for; one that has rung is answered."""
    name = spoken(timer.name)
    if any(call.timer == timer.id for call in state.open_calls):
        return (Press(key="heard", words="heard"), *_more(name))
    drop = Press(key="drop", words=f"drop {name}")
    if timer.is_held:
        return (Press(key="carry on", words=f"carry on with {name}"), drop)
    return (*_more(name), Press(key="hold", words=f"hold {name}"), drop)


def _more(name: str) -> tuple[Press, ...]:
    return tuple(
        Press(
            key=f"more {minutes}",
            words=f"{minutes} more minutes on {name}" if minutes > 1 else f"one more minute on {name}",
        )
        for minutes in MORE_MINUTES
    )


def answers(state: DinnerState) -> tuple[Press, ...]:
    """What answers the question that was asked; a choice's key is its own name after a colon."""
    asked = state.asked
    if asked is None:
        return ()
    choices = tuple(Press(key=f":{choice.name}", words=spoken(choice.name)) for choice in asked.choices)
    yes = (Press(key="yes", words="yes"),) if asked.yes is not None else ()
    return (*choices, *yes, Press(key="no", words="no"))


def talk_presses(state: DinnerState) -> tuple[Press, ...]:
    """What can be said about the conversation itself."""
    found = [Press(key="again", words="say again")]
    if state.open_calls:
        found.insert(0, Press(key="heard", words="heard"))
    if state.speaking is not None or state.waiting_calls:
        found.append(Press(key="quiet", words="quiet"))
    if state.past:
        found.append(Press(key="undo", words="undo that"))
    if state.plan is not None and state.served_at is None:
        found.append(Press(key="later", words="serve five minutes later"))
    return tuple(found)
