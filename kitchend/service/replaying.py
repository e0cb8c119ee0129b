"""What events and effects mean for a journal that is lived through again. Pure: nothing is changed here."""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.clock import Now
from kitchend.core.effects import Effect, EndDinner, OpenPlan
from kitchend.core.events import ClockMoved, DinnerRefused, DinnerStarted, Event
from kitchend.core.state import DinnerState
from kitchend.service.ports import Snapshot

MOVED_S = 2.0
"""A clock on the wall that gained or lost more than this against running time was set by somebody."""


def moved(last: Now, now: Now) -> ClockMoved | None:
    """How the clock on the wall was set since `last`, None if it just ran on."""
    by_s = (now.wall - last.wall) - (now.instant - last.instant)
    zone_s = now.wall.offset_s - last.wall.offset_s
    if abs(by_s) <= MOVED_S and zone_s == 0:
        return None
    return ClockMoved(by_s=by_s, zone_s=zone_s)


def fits(snapshot: Snapshot, kept: Sequence[tuple[Event, Now]]) -> bool:
    """Whether the snapshot is of this journal."""
    return 0 < snapshot.count <= len(kept) and kept[snapshot.count - 1][1] == snapshot.now


def opening_after(event: Event, effects: tuple[Effect, ...], before: OpenPlan | None) -> OpenPlan | None:
    """The wish to open a plan that has not been answered after this event."""
    if isinstance(event, DinnerStarted | DinnerRefused):
        return None
    wishes = [effect for effect in effects if isinstance(effect, OpenPlan)]
    return wishes[-1] if wishes else before


def has_end(effects: tuple[Effect, ...]) -> bool:
    """Whether these effects end the dinner."""
    return any(isinstance(effect, EndDinner) for effect in effects)


def is_idle(state: DinnerState) -> bool:
    """Whether there is nothing that a restart could lose: no dinner, no timer, no word unsaid."""
    return state.plan is None and not state.timers and state.speaking is None and not state.waiting_calls
