"""What happened at a dinner against its plan: from the journal it left, lived through once more.

The plan is the first timeline. A step's times are those at which it moved; a time it never had is None. Reads
only, and leaves out what cannot be read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from sqlite3 import Error as SqliteError
from typing import Any

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.dinner import begin, step
from kitchend.core.events import DinnerStarted, Event
from kitchend.core.plan import Plan, StepId
from kitchend.core.quantities import show_temperature
from kitchend.core.state import DinnerState
from kitchend.core.status import dish_name
from kitchend.core.steps import StepState
from kitchend.core.timeline import Timeline
from kitchend.reports.holds import Held, holds_of
from kitchend.service.keeping import event_of
from kitchend.service.retention import past_dinners
from kitchend.service.salvage import checksum, readable_rows

Kept = tuple[Event, Now]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepStory:
    """One step: planned and true beginning and end."""

    dish: str
    name: str
    state: StepState
    planned_start: WallTime | None
    planned_end: WallTime | None
    start: WallTime | None
    end: WallTime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A dinner that is over: the pass asked for at first and last, when all was there, and each step."""

    plan: str
    asked: WallTime
    serve: WallTime
    served: WallTime | None
    steps: tuple[StepStory, ...]
    holds: tuple[Held, ...] = ()


def last_story(journal: Path) -> Story | None:
    """The last dinner that was put away beside this journal and can be read; None if there is none."""
    for path in sorted(past_dinners(journal), reverse=True):
        story = story_of(_events(path))
        if story is not None:
            return story
    return None


def _events(path: Path) -> Iterator[Kept]:
    with suppress(SqliteError, OSError, ValueError):
        for row in readable_rows(path):
            if row.checksum == checksum(row):
                now = Now(Instant(row.instant_s), WallTime(row.wall_s, row.offset_s))
                yield event_of(row.kind, row.event), now


def story_of(kept: Iterable[Kept]) -> Story | None:
    """The dinner that these events were; None if none began."""
    state, began, full, last = begin(), None, None, None
    times = _Times()
    for event, now in kept:
        before, (state, _) = state, step(state, event, now)
        if isinstance(event, DinnerStarted):
            began = event
        times.see(before, state, now)
        if state.plan is not None:
            full, last = state, now
    if began is None or full is None or last is None:
        return None
    served = state.served_at or full.served_at
    return Story(
        plan=began.plan.name,
        asked=began.serve,
        serve=full.serve or began.serve,
        served=_all_there(full, times) or served,
        steps=tuple(_steps(began.plan, began.timeline, full, times)),
        holds=holds_of(full),
    )


class _Times:
    """When each step began and ended, by the clock on the wall of that moment."""

    def __init__(self) -> None:
        self.start: dict[StepId, WallTime] = {}
        self.end: dict[StepId, WallTime] = {}

    def see(self, before: DinnerState, after: DinnerState, now: Now) -> None:
        """Note what moved. What was taken back by the cook is forgotten again."""
        for step_id, record in after.records.items():
            was = before.record_of(step_id)
            if record == was:
                continue
            if record.on_at is not None and was.on_at is None:
                self.start[step_id] = now.wall
            elif record.on_at is None and not record.has_ended:
                self.start.pop(step_id, None)
            if record.has_ended and not was.has_ended:
                self.end[step_id] = now.wall
            elif not record.has_ended:
                self.end.pop(step_id, None)


def _all_there(state: DinnerState, times: _Times) -> WallTime | None:
    """When the last step of the plan was done."""
    ids = [one.id for one in state.plan.steps] if state.plan is not None else []
    ends = [times.end[one] for one in ids if one in times.end]
    return max(ends, key=lambda wall: wall.epoch_s, default=None)


def _steps(plan: Plan, timeline: Timeline, state: DinnerState, times: _Times) -> Iterator[StepStory]:
    for one in (*plan.steps, *timeline.added):
        planned = timeline.of(one.id)
        yield StepStory(
            dish=dish_name(state, one),
            name=one.name,
            state=state.state_of(one.id),
            planned_start=planned.start if planned is not None else None,
            planned_end=planned.end if planned is not None else None,
            start=times.start.get(one.id),
            end=times.end.get(one.id),
        )


def story_json(story: Story) -> dict[str, Any]:
    """The story for the page and as a file; times are ISO 8601 with offset, `off_s` is late above zero."""
    return {
        "plan": story.plan,
        "asked": story.asked.isoformat(),
        "serve": story.serve.isoformat(),
        "served": _iso(story.served),
        "late_by_s": None if story.served is None else round(story.served - story.serve),
        "offset": story.serve.offset_s,
        "steps": [_step_json(one) for one in story.steps],
        "holds": [_hold_json(one) for one in story.holds],
    }


def _hold_json(held: Held) -> dict[str, Any]:
    """What the readings of a low target were worth as a hold, in whole minutes, by whose table."""
    done, needed = held.whole_s
    degrees = show_temperature(held.at)
    return {"step": held.name, "held_s": done, "needed_s": needed, "degrees": degrees, "source": held.source}


def _step_json(one: StepStory) -> dict[str, Any]:
    off = None if one.end is None or one.planned_end is None else round(one.end - one.planned_end)
    return {
        "dish": one.dish,
        "step": one.name,
        "state": one.state.value,
        "planned": [_iso(one.planned_start), _iso(one.planned_end)],
        "was": [_iso(one.start), _iso(one.end)],
        "off_s": off,
    }


def story_csv(story: Story) -> str:
    """The story as a table for a spreadsheet, RFC 4180."""
    head = ("dish", "step", "state", "planned start", "planned end", "start", "end", "off by seconds")
    rows = [
        (
            one["dish"],
            one["step"],
            one["state"],
            *(at or "" for at in (*one["planned"], *one["was"])),
            "" if one["off_s"] is None else str(one["off_s"]),
        )
        for one in story_json(story)["steps"]
    ]
    return "".join(",".join(map(_cell, row)) + "\r\n" for row in [head, *rows])


def _cell(text: str) -> str:
    """A cell, in quotes; what a spreadsheet would take for a formula is kept a word."""
    safe = f"'{text}" if text[:1] in tuple("=+-@\t\r") and not text[1:].isdigit() else text
    return '"' + safe.replace('"', '""') + '"'


def _iso(wall: WallTime | None) -> str | None:
    return None if wall is None else wall.isoformat()
