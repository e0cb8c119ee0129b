"""Readings that come from a thermometer and not from a cook: kept beside those that were said.

Nothing is said about one: it comes again in seconds. A reading of nothing that goes on changes nothing.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.clock import Now
from kitchend.core.events import ReadingTaken
from kitchend.core.measured import Unwanted, measured
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.state import DinnerState, Reading


def taken(state: DinnerState, event: ReadingTaken, now: Now) -> Outcome:
    """Keep the reading; refused, with the same state, where it is of nothing that goes on."""
    of = measured(state, event.of)
    if isinstance(of, Unwanted):
        return refusal(state)
    reading = Reading(of=of, celsius=event.celsius, at=now.instant)
    return Outcome(state=replace(state, readings=(*state.readings, reading)))
