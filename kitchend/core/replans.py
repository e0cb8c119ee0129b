"""Taking on a new timeline: what changed, and whether the cook needs to hear of it.

What was called never moves back; only waiting steps follow the new times. At most one sentence is said, and
only about what matters: the pass, or the next thing that waits longer than the cook expects.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import calls, wording
from kitchend.core.clock import Now
from kitchend.core.effects import CallKind
from kitchend.core.events import TimelinePlanned
from kitchend.core.pass_talk import late_s, said_late, said_times
from kitchend.core.passes import latest
from kitchend.core.progress import coming
from kitchend.core.state import Call, DinnerState
from kitchend.core.timeline import Timeline

TELL_S = 60
"""No change of under a minute is spoken."""
LATE_S = 120
"""Dinner is called late from here on; less is within what a table notices."""
AGAIN_S = 300
"""Lateness already told is told again when it has changed by this much."""
NEAR_S = 600
"""A step the cook expects within this time is worth a word when it is put back ..."""
PUT_BACK_S = 240
"""... by more than this."""


def take_on(state: DinnerState, event: TimelinePlanned, now: Now) -> DinnerState:
    """The same state living by the new timeline; an answer to an older question is ignored."""
    if state.plan is None or event.revision != state.revision:
        return state
    told = _sentence(state, event.timeline, now)
    new = replace(
        state,
        timeline=event.timeline,
        planned_revision=event.revision,
        planned_at=now.instant,
        told_late_s=_told(state, event.timeline),
    )
    if not told:
        return new
    return calls.add(new, Call(kind=CallKind.SOON, text=told, at=now.instant))


def _told(state: DinnerState, new: Timeline) -> int:
    """The lateness the cook has been told, after this timeline was spoken of."""
    return _late_s(state, new) if _is_news(state, new) else state.told_late_s


def _late_s(state: DinnerState, new: Timeline) -> int:
    return 0 if state.plan is None else late_s(state.plan, new)


def _is_news(state: DinnerState, new: Timeline) -> bool:
    was, now = state.told_late_s, _late_s(state, new)
    if now < TELL_S:
        return was >= TELL_S
    return now >= LATE_S and abs(now - was) >= (AGAIN_S if was else TELL_S)


def _sentence(state: DinnerState, new: Timeline, now: Now) -> str:
    if state.is_all_done:
        return ""
    if state.plan is not None and _is_news(state, new):
        late = latest(state.plan, new)
        if late is None or late.late_s < TELL_S:
            return wording.say("back", when=said_times(state, now))
        return said_late(state, late, now)
    return _put_back(state, new, now)


def _put_back(state: DinnerState, new: Timeline, now: Now) -> str:
    """The first near step that is put back, if any."""
    for step, before in coming(state):
        after = new.of(step.id)
        if after is None or step.added:
            continue
        was_near = before.start - now.wall < NEAR_S
        if was_near and after.start - before.start > PUT_BACK_S and after.start - now.wall > PUT_BACK_S:
            when = wording.said_wall(after.start)
            return wording.say("later", step=wording.said_step(step), when=when)
    return ""
