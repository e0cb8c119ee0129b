"""What comes to the made-up cook's mind between calls: questions, and remarks that are no commands.

Only things that make sense as the dinner stands come up: no step is moved but for one held for a minute.
"""

from __future__ import annotations

from random import Random
from typing import Final

from kitchend.core.names import names_of
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.rehearsal import wishes
from kitchend.rehearsal.wishes import Wish

QUESTIONS: Final = ("ask next", "ask on", "ask pass", "ask on time", "ask again")

OWN_TIMER: Final = 0.12
"""How often what comes to mind is something of the cook's own to be timed."""
MINUTES: Final = (3, 7, 9, 12, 20)

HOLDS: Final = 0.15
"""How often a thing that is on is held for a minute rather than asked about."""


def muse(state: DinnerState, rng: Random, chatters: float) -> Wish | None:
    """A remark, a question about something that is on, or a question about the dinner."""
    if rng.random() < chatters:
        return wishes.chats(rng.choice(wishes.ways("chatter")))
    if rng.random() < OWN_TIMER:
        minutes = rng.choice(MINUTES)
        is_thing = rng.random() < 0.5
        return (
            wishes.times(rng.choice(wishes.ways("things")), minutes)
            if is_thing
            else wishes.reminds(rng.choice(wishes.ways("chores")), minutes)
        )
    running = [s for s in state.steps if state.state_of(s.id) is StepState.ON and not s.is_hands_only]
    if running and rng.random() < 0.5:
        step = rng.choice(running)
        is_oven = names_of(state).is_oven(wishes.thing_of(state, step))
        if step.until is None and rng.random() < HOLDS and not is_oven:
            return wishes.holds(state, step)
        return wishes.asks_time_left(state, step)
    return wishes.asks(wishes.ways(rng.choice(QUESTIONS)))
