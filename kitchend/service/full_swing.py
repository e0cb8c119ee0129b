"""A dinner at a moment when nearly everything can be said, for taking recordings through the listener.

No real moment is like it: all that has a clock is called, on and held at once, a question waits.
Who listens to recordings knows nothing of when they were made, so nothing that might be meant is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import chain

from kitchend.core.amounts import Kind, amounts
from kitchend.core.book import Book
from kitchend.core.clock import Now
from kitchend.core.forms import Gate
from kitchend.core.grammar import Lexicon
from kitchend.core.names import spoken
from kitchend.core.phrases import Sayable, open_book
from kitchend.core.state import Asked, DinnerState, Past
from kitchend.core.steps import StepRecord, StepState
from kitchend.core.window import full_lexicons, gates_of, likely_lexicons, rule_weights, view_of

ASKED_S = 3600.0
"""Longer than any recording: no question lapses and no answer window closes while they are heard."""

_FROM_FULL = ("ordinal", "place")
"""Lexicons that only a question with a list of answers fills."""

_CLOCKED = (StepState.ON, StepState.CALLED, StepState.HELD)
"""What has a clock may be in any of these."""

_SELDOM: Mapping[str, float] = {
    "choice": 1.0,
    "yes": 4.0,
    "no": 4.0,
    "number": 1.0,
    "cook": 1.0,
    "away": 0.2,
}
"""Rules that are likely just after a question, or before a dinner, and may be meant here as well."""


def in_full_swing(state: DinnerState, now: Now, clocked: StepState = StepState.ON) -> DinnerState:
    """The dinner with all that has a clock on (or as told), the rest called, a question and a window open."""

    def record(is_hands_only: bool) -> StepRecord:
        if is_hands_only or clocked is StepState.CALLED:
            return StepRecord(state=StepState.CALLED, called_at=now.instant)
        return StepRecord(state=clocked, called_at=now.instant, on_at=now.instant)

    return replace(
        state,
        records={step.id: record(step.is_hands_only) for step in state.steps},
        asked=Asked(text="", lapses=now.instant + ASKED_S),
        past=(Past(what=""),),
        window_until=now.instant + ASKED_S,
        menu=() if state.plan is None else (state.plan.name,),
    )


def sayable_in_full_swing(state: DinnerState, now: Now, *, in_window: bool) -> Sayable:
    """All that can be said at this dinner, with the address phrase or (`in_window`) without it."""
    views = [view_of(in_full_swing(state, now, clocked)) for clocked in _CLOCKED]
    tables = [likely_lexicons(view) for view in views]
    tables += [amounts(kind, table) for kind in Kind for table in tables]
    full = full_lexicons(views[0])
    lexicons = _merged(*tables) | {key: full[key] for key in _FROM_FULL}
    weights = {**rule_weights(views[0]), **_SELDOM}
    gates = frozenset[Gate]().union(*map(gates_of, views)) | {Gate.NO_DINNER, Gate.CHOICES, Gate.NUMBER}
    address = spoken(state.manners.address)
    is_needed = bool(address) and not in_window and not state.manners.is_open
    openly = open_book(gates, lexicons, weights)
    return Sayable(Book(gates, lexicons, weights), address, is_needed, openly)


def _merged(*tables: Mapping[str, Lexicon]) -> dict[str, Lexicon]:
    """Lexicons by name, each with the entries of all tables."""
    keys = dict.fromkeys(chain(*tables))
    return {
        key: Lexicon(entry for table in tables if key in table for entry in table[key].entries)
        for key in keys
    }
