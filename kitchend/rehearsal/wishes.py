"""What the made-up cook may want to say: each wish with the different ways of saying it.

Decides the cook's words and what they may move; not when anything is said. Words are those of design's table
of commands, in any order of preference; the first way is the plainest. Nothing here knows what was
understood.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final

from kitchend.core.names import names_of, short_name, spoken
from kitchend.core.numbers import number_texts, words_of
from kitchend.core.plan import Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.verbs import is_plural


class Aim(Enum):
    """What a wish is for."""

    MOVE = "move"
    ACKNOWLEDGE = "acknowledge"
    READ = "read"
    GIVE = "give"
    ASK = "ask"
    TIME = "time"
    HOLD = "hold"
    CARRY_ON = "carry on"
    PASS = "pass"
    TAKE_BACK = "take back"
    ANSWER = "answer"
    CHAT = "chat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """Something to say. `ways` are words for it; `may` lists the steps and states it may lead to.

    `step` and `to` are the move it is for, if it is for one. With `keeps_trying` it is said until it gets
    through.
    """

    aim: Aim
    ways: tuple[str, ...]
    step: StepId | None = None
    to: StepState | None = None
    may: frozenset[tuple[StepId, StepState]] = frozenset()
    keeps_trying: bool = False


CHATTER: Final = (
    "did you feed the dog this morning",
    "it is raining again over the harbour",
    "your sister called about the weekend",
    "that knife needs sharpening one of these days",
    "we should paint this wall some other colour",
    "somebody left the gate open last night",
)
"""Sentences that are no commands; kitchend should take none of them for one."""


def put_on(state: DinnerState, step: Step) -> Wish:
    """The step has been put on."""
    thing, name = thing_of(state, step), spoken(step.name)
    verb = is_or_are(thing)
    short = [f"{thing} {verb} on", f"the {thing} {verb} on"]
    short += [] if step.added else [f"{thing} {verb} in", f"started the {thing}"]
    return _move(step, StepState.ON, (name,) if is_crowded(state, step) else (short[0], name, *short[1:]))


def begin_hands(step: Step) -> Wish:
    """A step of hands only has been begun."""
    return _move(step, StepState.ON, (spoken(step.name),))


def finished(state: DinnerState, step: Step) -> Wish:
    """The step is done."""
    thing, name = thing_of(state, step), spoken(step.name)
    sure = (f"{name} done", *reported(state, step)[:1], f"{name} is done")
    verb = is_or_are(thing)
    short = () if is_crowded(state, step) else (f"{thing} {verb} done", f"the {thing} {verb} ready")
    return _move(step, StepState.DONE, (*sure, *short))


def acknowledged(step: Step | None) -> Wish:
    """The call was heard, no more."""
    return Wish(
        aim=Aim.ACKNOWLEDGE, ways=("heard", "heard that", "on it"), step=None if step is None else step.id
    )


def reads(state: DinnerState, step: Step, degrees: int) -> Wish:
    """A thermometer inside reads so many degrees."""
    thing, said = thing_of(state, step), number_texts(degrees)[0]
    verb = is_or_are(thing)
    ways = (f"the {thing} {verb} at {said}", f"{thing} {verb} at {said}", f"{thing} {verb} now at {said}")
    is_there = step.until is not None and degrees >= math.ceil(step.until.degrees)
    may = frozenset({(step.id, StepState.UP)} if is_there else set())
    return Wish(aim=Aim.READ, ways=ways, step=step.id, may=may)


def gives(state: DinnerState, step: Step, minutes: int) -> Wish:
    """The step needs more time."""
    thing = thing_of(state, step)
    more = "one more minute" if minutes == 1 else f"{words_of(minutes)} more minutes"
    other = "another minute" if minutes == 1 else f"another {words_of(minutes)} minutes"
    ways = (f"{more} on the {thing}", f"{other} on the {thing}", f"give the {thing} {other}")
    return Wish(aim=Aim.GIVE, ways=ways, step=step.id, may=frozenset({(step.id, StepState.ON)}))


def asks(*ways: str) -> Wish:
    """A question; it moves nothing."""
    return Wish(aim=Aim.ASK, ways=ways)


def asks_time_left(state: DinnerState, step: Step) -> Wish:
    """How long a step has to go."""
    thing = thing_of(state, step)
    return asks(f"how long on the {thing}", f"how much longer for the {thing}", f"time left on the {thing}")


def times(thing: str, minutes: int) -> Wish:
    """Something of the cook's own is to be timed."""
    said = f"{words_of(minutes)} minutes"
    ways = (f"time the {thing} for {said}", f"set a timer for the {thing} for {said}")
    return Wish(aim=Aim.TIME, ways=ways)


def reminds(chore: str, minutes: int) -> Wish:
    """The cook wants to be reminded."""
    said = f"{words_of(minutes)} minutes"
    return Wish(aim=Aim.TIME, ways=(f"remind me in {said} to {chore}", f"remind me to {chore} in {said}"))


def holds(state: DinnerState, step: Step) -> Wish:
    """The step's time is to stop for a while."""
    thing = thing_of(state, step)
    may = frozenset({(step.id, StepState.HELD)})
    return Wish(aim=Aim.HOLD, ways=(f"hold the {thing}", f"pause the {thing}"), step=step.id, may=may)


def carries_on(state: DinnerState, step: Step) -> Wish:
    """The step's time is to run again."""
    thing = thing_of(state, step)
    may = frozenset({(step.id, StepState.ON)})
    ways = (f"carry on with the {thing}", f"continue with the {thing}")
    return Wish(aim=Aim.CARRY_ON, ways=ways, step=step.id, to=StepState.ON, may=may)


def chats(words: str) -> Wish:
    """Something that is not for kitchend."""
    return Wish(aim=Aim.CHAT, ways=(words,))


def takes_back(steps: frozenset[StepId]) -> Wish:
    """What was said last is taken back; the steps it moved may return to any state."""
    may = frozenset((step, state) for step in steps for state in StepState)
    return Wish(aim=Aim.TAKE_BACK, ways=("undo that", "take that back", "cancel that"), may=may)


def moves_pass(minutes: int) -> Wish:
    """Serve later (below zero: earlier)."""
    which, said = "later" if minutes > 0 else "earlier", f"{words_of(abs(minutes))} minutes"
    return Wish(aim=Aim.PASS, ways=(f"serve {said} {which}", f"we'll eat {said} {which}"))


OTHER_ANSWERS: Final = {"yes": ("yes please", "that's right"), "no": ("no thanks", "leave it")}


def answers(words: str, of: Wish | None) -> Wish:
    """The answer to a question that came of an earlier wish, and may move what that wish might."""
    ways = (words, *OTHER_ANSWERS.get(words, ()))
    if of is None:
        return Wish(aim=Aim.ANSWER, ways=ways)
    return Wish(aim=Aim.ANSWER, ways=ways, step=of.step, to=of.to, may=of.may)


def thing_of(state: DinnerState, step: Step) -> str:
    """What the cook calls what the step is done to."""
    return spoken(step.name) if state.plan is None else short_name(step, state.plan)


def is_crowded(state: DinnerState, step: Step) -> bool:
    """Whether another step of the same dish is under way, so that the dish's name alone says too little."""
    idle = (StepState.WAITING, StepState.DONE, StepState.DROPPED)
    others = (other for other in state.steps if other.dish == step.dish and other.id != step.id)
    return any(state.state_of(other.id) not in idle for other in others)


def is_or_are(thing: str) -> str:
    """The verb that goes with a thing: greens are, rice is."""
    return "are" if is_plural(thing) else "is"


def reported(state: DinnerState, step: Step) -> tuple[str, ...]:
    """The step as a cook reports it: "greens steamed"; empty for a name that does not turn."""
    action = names_of(state).actions.get(spoken(step.name))
    return () if action is None else tuple(f"{action.thing} {done}" for done in action.done)


def _move(step: Step, to: StepState, ways: tuple[str, ...]) -> Wish:
    # Saying that a step is under way says that what it follows is over.
    may = frozenset({(step.id, to), *((before, StepState.DONE) for before in step.after)})
    return Wish(aim=Aim.MOVE, ways=ways, step=step.id, to=to, may=may, keeps_trying=True)
