"""What recordings may mean: all that might be said at the dinner, with the address phrase or without."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.intents import intent_name, understand
from kitchend.core.phrases import Sayable
from kitchend.core.state import DinnerState
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from tests.service.kitchen import START

PLAN = Path(__file__).parents[2] / "plans" / "boathouse-sunday.yaml"
SAID = {
    "carve the turkey": "step",
    "beans are on": "start",
    "rolls are in": "start",
    "the squash is done": "finish",
    "heard": "heard",
    "how long on the turkey": "time_left",
    "what's next": "next",
    "what's on": "what_is_on",
    "when do we eat": "pass",
    "are we on time": "on_time",
    "say again": "say_again",
    "five more minutes on the squash": "give_time",
    "hold the squash": "hold",
    "carry on with the squash": "carry_on",
    "carry on": "carry_on",
    "drop the stuffing": "drop",
    "time the eggs for nine minutes": "time_new",
    "remind me in ten minutes to turn the bread": "remind",
    "the turkey is at sixty two": "reading",
    "oven reads one ninety": "reading",
    "cook the boathouse sunday for half past six": "start_dinner",
    "serve fifteen minutes later": "move_pass",
    "serve at seven thirty": "move_pass",
    "undo that": "undo",
    "quiet": "quiet",
    "yes": "yes",
    "no": "no",
    "the first one": "pick",
    "fifty": "number",
    "half an hour": "number",
    "quarter to eight": "number",
    "no fifty": "number",
    "yes fifteen": "number",
}


@pytest.fixture(scope="module")
def dinner() -> DinnerState:
    return in_full_swing(dinner_of(PLAN, settings_for(None), START), START)


@pytest.fixture(scope="module")
def addressed(dinner: DinnerState) -> Sayable:
    return sayable_in_full_swing(dinner, START, in_window=False)


@pytest.fixture(scope="module")
def in_window(dinner: DinnerState) -> Sayable:
    return sayable_in_full_swing(dinner, START, in_window=True)


@pytest.mark.parametrize(("text", "intent"), SAID.items(), ids=list(SAID))
def test_every_intent_can_be_said(
    text: str, intent: str, dinner: DinnerState, addressed: Sayable, in_window: Sayable
) -> None:
    assert in_window.accepts(text)
    assert addressed.accepts(f"hey kitchen {text}")
    assert not addressed.accepts(text)
    assert intent_name(understand(text, dinner).command) == intent
