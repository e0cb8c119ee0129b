"""What the made-up cook may want to say: each wish with the different ways of saying it.

Decides the cook's words and what they may move; not when anything is said. Words are those of design's table
of commands, in any order of preference; the first way is the plainest. Nothing here knows what was
understood.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from kitchend.core.names import names_of, short_name, spoken
from kitchend.core.numbers import number_texts, words_of
from kitchend.core.plan import Step, StepId
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.tongue import tongue
from kitchend.core.wording import said_be


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


def ways(key: str, **facts: str) -> tuple[str, ...]:
    """Every way the cook has to say this, in the language spoken now."""
    language = tongue()
    return tuple(language.speech.finished(text.format(**facts)) for text in language.cook[key])


def put_on(state: DinnerState, step: Step) -> Wish:
    """The step has been put on."""
    facts = {"thing": thing_of(state, step), "name": spoken(step.name), "be": said_be(thing_of(state, step))}
    short = (*ways("on", **facts), *(() if step.added else ways("on.in", **facts)))
    name = facts["name"]
    return _move(step, StepState.ON, (name,) if is_crowded(state, step) else (short[0], name, *short[1:]))


def begin_hands(step: Step) -> Wish:
    """A step of hands only has been begun."""
    return _move(step, StepState.ON, (spoken(step.name),))


def finished(state: DinnerState, step: Step) -> Wish:
    """The step is done."""
    facts = {"thing": thing_of(state, step), "name": spoken(step.name), "be": said_be(thing_of(state, step))}
    named = ways("done.name", **facts)
    sure = (*named[:1], *reported(state, step)[:1], *named[1:])
    return _move(step, StepState.DONE, (*sure, *(() if is_crowded(state, step) else ways("done", **facts))))


def acknowledged(step: Step | None) -> Wish:
    """The call was heard, no more."""
    return Wish(aim=Aim.ACKNOWLEDGE, ways=ways("heard"), step=None if step is None else step.id)


def reads(state: DinnerState, step: Step, degrees: int) -> Wish:
    """A thermometer inside reads so many degrees."""
    thing = thing_of(state, step)
    said = ways("reading", thing=thing, be=said_be(thing), degrees=number_texts(degrees)[0])
    is_there = step.until is not None and degrees >= math.ceil(step.until.degrees)
    may = frozenset({(step.id, StepState.UP)} if is_there else set())
    return Wish(aim=Aim.READ, ways=said, step=step.id, may=may)


def gives(state: DinnerState, step: Step, minutes: int) -> Wish:
    """The step needs more time."""
    thing = thing_of(state, step)
    said = ways("give.one" if minutes == 1 else "give", thing=thing, minutes=words_of(minutes))
    return Wish(aim=Aim.GIVE, ways=said, step=step.id, may=frozenset({(step.id, StepState.ON)}))


def asks(said: tuple[str, ...]) -> Wish:
    """A question; it moves nothing."""
    return Wish(aim=Aim.ASK, ways=said)


def asks_time_left(state: DinnerState, step: Step) -> Wish:
    """How long a step has to go."""
    return asks(ways("time left", thing=thing_of(state, step)))


def times(thing: str, minutes: int) -> Wish:
    """Something of the cook's own is to be timed."""
    return Wish(aim=Aim.TIME, ways=ways("time", thing=thing, minutes=words_of(minutes)))


def reminds(chore: str, minutes: int) -> Wish:
    """The cook wants to be reminded."""
    return Wish(aim=Aim.TIME, ways=ways("remind", chore=chore, minutes=words_of(minutes)))


def holds(state: DinnerState, step: Step) -> Wish:
    """The step's time is to stop for a while."""
    thing = thing_of(state, step)
    may = frozenset({(step.id, StepState.HELD)})
    return Wish(aim=Aim.HOLD, ways=ways("hold", thing=thing), step=step.id, may=may)


def carries_on(state: DinnerState, step: Step) -> Wish:
    """The step's time is to run again."""
    thing = thing_of(state, step)
    may = frozenset({(step.id, StepState.ON)})
    said = ways("carry on", thing=thing)
    return Wish(aim=Aim.CARRY_ON, ways=said, step=step.id, to=StepState.ON, may=may)


def chats(words: str) -> Wish:
    """Something that is not for kitchend."""
    return Wish(aim=Aim.CHAT, ways=(words,))


def takes_back(steps: frozenset[StepId]) -> Wish:
    """What was said last is taken back; the steps it moved may return to any state."""
    may = frozenset((step, state) for step in steps for state in StepState)
    return Wish(aim=Aim.TAKE_BACK, ways=ways("undo"), may=may)


def moves_pass(minutes: int) -> Wish:
    """Serve later (below zero: earlier)."""
    key = "later" if minutes > 0 else "earlier"
    return Wish(aim=Aim.PASS, ways=ways(key, minutes=words_of(abs(minutes))))


def answers(words: str, of: Wish | None) -> Wish:
    """The answer to a question that came of an earlier wish, and may move what that wish might."""
    others = next((said for said in (ways("yes"), ways("no")) if words == said[0]), (words,))
    if of is None:
        return Wish(aim=Aim.ANSWER, ways=others)
    return Wish(aim=Aim.ANSWER, ways=others, step=of.step, to=of.to, may=of.may)


def thing_of(state: DinnerState, step: Step) -> str:
    """What the cook calls what the step is done to."""
    return spoken(step.name) if state.plan is None else short_name(step, state.plan)


def is_crowded(state: DinnerState, step: Step) -> bool:
    """Whether another step of the same dish is under way, so that the dish's name alone says too little."""
    idle = (StepState.WAITING, StepState.DONE, StepState.DROPPED)
    others = (other for other in state.steps if other.dish == step.dish and other.id != step.id)
    return any(state.state_of(other.id) not in idle for other in others)


def reported(state: DinnerState, step: Step) -> tuple[str, ...]:
    """The step as a cook reports it: "greens steamed"; empty for a name that does not turn."""
    action = names_of(state).actions.get(spoken(step.name))
    if action is None:
        return ()
    return tuple(tongue().things.reported(action.thing, done, is_full=False)[0] for done in action.done)


def _move(step: Step, to: StepState, said: tuple[str, ...]) -> Wish:
    # Saying that a step is under way says that what it follows is over.
    may = frozenset({(step.id, to), *((before, StepState.DONE) for before in step.after)})
    return Wish(aim=Aim.MOVE, ways=said, step=step.id, to=to, may=may, keeps_trying=True)
