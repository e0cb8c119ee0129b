"""What becomes of a dinner when the clock on the wall is set, or summer time begins or ends.

Running time is not touched: timers run on, and planned steps stay as far away as they were until they are
planned again. The pass keeps the time of day it was given, so it comes nearer or goes further away; after a
move of days it stays as many days ahead as it was. What changed is said in one sentence.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import absence, calls, wording
from kitchend.core.clock import DAY_S, Now, WallTime
from kitchend.core.effects import CallKind
from kitchend.core.events import ClockMoved
from kitchend.core.outcome import Outcome
from kitchend.core.state import Call, DinnerState, Past
from kitchend.core.timeline import Timeline

TELL_S = 60
"""No move of under a minute is spoken."""


def moved(state: DinnerState, event: ClockMoved, now: Now) -> Outcome:
    """The dinner under the new time of day; planned again if there is one.

    After an absence of unknown length, a clock that is put right tells how long it was.
    """
    late_s = absence.learnt_s(state, event)
    state, reply = absence.learnt(state, late_s)
    if reply:
        # That much of the move is time that has really passed.
        rest = replace(event, by_s=event.by_s - late_s)
        return replace(_moved(state, rest, now), reply=reply)
    return _moved(state, event, now)


def _moved(state: DinnerState, event: ClockMoved, now: Now) -> Outcome:
    if state.plan is None or state.serve is None:
        return Outcome(state=_told(state, event, "clock", now) if state.timers else state)
    serve = pass_after(state.serve, event, now.wall.offset_s)
    timeline = None if state.timeline is None else _shifted(state.timeline, event.by_s, serve)
    new = replace(state, serve=serve, timeline=timeline, past=_undoable(state, event, now))
    key = "clock.past" if serve < now.wall else "clock.dinner"
    return Outcome(state=_told(new, event, key, now), replans=True)


def pass_after(serve: WallTime, event: ClockMoved, offset_s: int) -> WallTime:
    """The pass at the time of day it had, on the day that is as far ahead as its own was."""
    days = round(event.by_s / DAY_S)
    return WallTime(serve.epoch_s + serve.offset_s - offset_s + days * DAY_S, offset_s)


def _shifted(timeline: Timeline, by_s: float, serve: WallTime) -> Timeline:
    """The same timeline at the same distances from now; only its pass is another."""

    def at(wall: WallTime) -> WallTime:
        return WallTime(wall.epoch_s + by_s, serve.offset_s)

    return replace(
        timeline,
        serve=serve,
        ready=at(timeline.ready),
        planned=tuple(replace(p, start=at(p.start), end=at(p.end)) for p in timeline.planned),
        heats=tuple(replace(h, start=at(h.start), end=at(h.end)) for h in timeline.heats),
        busiest=tuple(replace(b, start=at(b.start), end=at(b.end)) for b in timeline.busiest),
    )


def _undoable(state: DinnerState, event: ClockMoved, now: Now) -> tuple[Past, ...]:
    """What can be taken back, with the passes in it under the new time of day."""
    offset_s = now.wall.offset_s
    return tuple(
        past if past.serve is None else replace(past, serve=pass_after(past.serve, event, offset_s))
        for past in state.past
    )


def _told(state: DinnerState, event: ClockMoved, key: str, now: Now) -> DinnerState:
    """With the sentence waiting to be said, if the move is worth one."""
    gained = event.by_s + event.zone_s
    if abs(gained) < TELL_S:
        return state
    when = wording.said_wall(state.serve) if state.serve is not None else ""
    way = wording.say("clock.on" if gained > 0 else "clock.back").lower()
    text = wording.say(key, time=wording.said_duration(abs(gained)), way=way, when=when)
    return calls.add(state, Call(kind=CallKind.SOON, text=text, at=now.instant, is_news=True))
