"""What comes to the made-up cook's mind between calls: questions, and remarks that are no commands.

Only things that make sense as the dinner stands are asked. Nothing here moves a step.
"""

from __future__ import annotations

from random import Random
from typing import Final

from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.rehearsal import wishes
from kitchend.rehearsal.wishes import Wish

QUESTIONS: Final = (
    ("what's next", "what do i do next"),
    ("what's on", "what's cooking"),
    ("when do we eat", "what time is dinner"),
    ("are we on time", "are we late"),
    ("say again", "what did you say"),
)


def muse(state: DinnerState, rng: Random, chatters: float) -> Wish | None:
    """A remark, a question about something that is on, or a question about the dinner."""
    if rng.random() < chatters:
        return wishes.chats(rng.choice(wishes.CHATTER))
    running = [s for s in state.steps if state.state_of(s.id) is StepState.ON and not s.is_hands_only]
    if running and rng.random() < 0.5:
        return wishes.asks_time_left(state, rng.choice(running))
    return wishes.asks(*rng.choice(QUESTIONS))
