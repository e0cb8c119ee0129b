"""What came of a phrase, and how sure a share of outcomes is.

A phrase is right when the command that was heard is the command that was meant, slots included, and no doubt
about the words is asked back (the dinner may have a question of its own: which step, is it sure). What is
asked back moves nothing; it is asked rightly when what was meant is among what is asked about. A wrong action
is one that moves, adds or drops something nobody spoke of.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import sqrt

from kitchend.core.clock import Now
from kitchend.core.commands import Unclear
from kitchend.core.intents import intent_name, understand
from kitchend.core.state import DinnerState
from kitchend.hearing.ports import Heard
from kitchend.reports.hear import hear_json
from tests.bench.hear.corpus import Phrase

HARMLESS = frozenset("heard time_left next what_is_on pass on_time missed say_again quiet no unclear".split())


class Outcome(Enum):
    """What came of a phrase."""

    RIGHT = "right"
    ASKED = "asked back"
    ASTRAY = "asked about something else"
    WRONG_ANSWER = "wrong, nothing moved"
    WRONG_ACTION = "wrong action"
    MISSED = "missed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """So many of so many, with Wilson's interval (1927) that holds the true share 95 times in 100."""

    hits: int
    of: int

    @property
    def value(self) -> float | None:
        """The share; None of nothing."""
        return self.hits / self.of if self.of else None

    @property
    def interval(self) -> tuple[float, float]:
        """Its lower and upper end."""
        if not self.of:
            return 0.0, 1.0
        z, n, p = 1.96, self.of, self.hits / self.of
        middle = (p + z * z / (2 * n)) / (1 + z * z / n)
        half = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n)
        return max(0.0, middle - half), min(1.0, middle + half)


def outcome(heard: Heard, phrase: Phrase, state: DinnerState, now: Now) -> Outcome:
    """What came of a phrase that was spoken to the dinner."""
    if not heard.accepted:
        return Outcome.MISSED
    meant = understand(phrase.text, state).command
    got = understand(heard.text, state).command
    is_right = got == meant and not isinstance(meant, Unclear)
    is_asked = hear_json("", heard, state, now)["asks"] is not None
    if is_right and not (is_asked and heard.doubts):
        return Outcome.RIGHT
    if is_asked:
        ways = (understand(text, state).command for text in heard.doubts)
        return Outcome.ASKED if is_right or meant in ways else Outcome.ASTRAY
    return Outcome.WRONG_ANSWER if intent_name(got) in HARMLESS else Outcome.WRONG_ACTION


def moves_something(heard: Heard, state: DinnerState, now: Now) -> bool:
    """Whether what was heard in talk or noise would have moved, added or dropped something."""
    if not heard.accepted or hear_json("", heard, state, now)["asks"] is not None:
        return False
    return intent_name(understand(heard.text, state).command) not in HARMLESS


def is_in_grammar(phrase: Phrase, state: DinnerState) -> bool:
    """Whether the phrase can be read at all, and as what it means."""
    return intent_name(understand(phrase.text, state).command) == phrase.intent
