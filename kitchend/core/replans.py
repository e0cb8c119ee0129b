"""Taking on a new timeline: what changed, and whether the cook needs to hear of it.

What was called never moves back; only waiting steps follow the new times. At most one sentence is said, and
only about what matters: the pass, what makes it late, and what is put back for it.
"""

from __future__ import annotations

from dataclasses import replace

from kitchend.core import calls, wording
from kitchend.core.clock import Now
from kitchend.core.early import GOING
from kitchend.core.effects import CallKind
from kitchend.core.events import TimelinePlanned
from kitchend.core.names import short_name
from kitchend.core.pass_talk import late_s, passes_to_come, said_late, said_times
from kitchend.core.passes import latest
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.progress import coming, steps_in
from kitchend.core.state import Call, DinnerState
from kitchend.core.timeline import Timeline

TELL_S = 60
"""No change of under a minute is spoken."""
LATE_S = 120
"""Dinner is called late from here on; less is within what a table notices."""
FIRST_S = 180
"""Lateness is told of itself from here on; asked, kitchend tells less ..."""
AGAIN_S, AGAIN_SHARE = 600, 0.5
"""... and told again when what was told is wrong, either way, by this much and by this part of it ..."""
RELAPSE_S = 300
"""... or, where dinner was back on time meanwhile, when it is this much."""
FAR_SHARE = 0.05
"""Lateness that is a smaller part of the time to the pass than this may well be gone by then."""
SIDES_SAID = 2
"""More dishes put back than this are "everything not yet on"."""


def take_on(state: DinnerState, event: TimelinePlanned, now: Now) -> DinnerState:
    """The same state living by the new timeline; an answer to an older question is ignored."""
    if state.plan is None or event.revision != state.revision:
        return state
    late = late_s(state.plan, event.timeline)
    new = replace(state, timeline=event.timeline, planned_revision=event.revision, planned_at=now.instant)
    if state.is_all_done:
        return new
    if _is_news(state, late, event.timeline.serve - now.wall):
        text = _lateness(state, state.plan, event.timeline, now)
        new = replace(new, told_late_s=as_told(late), has_been_late=True)
        return calls.add(new, Call(kind=CallKind.SOON, text=text, at=now.instant))
    return new


def as_told(late: int) -> int:
    """The lateness a cook was told of: below a minute none, or being back on time were news at every plan."""
    return late if late >= TELL_S else 0


def _is_news(state: DinnerState, late: int, ahead_s: float) -> bool:
    """Lateness is told once, and again only where a table that was told would have to be told anew: when it
    is over, much more or much less. `ahead_s` is how far off the pass is.
    """
    told = state.told_late_s
    if told:
        return late < TELL_S or abs(late - told) >= max(AGAIN_S, AGAIN_SHARE * told)
    return late >= max(RELAPSE_S if state.has_been_late else FIRST_S, FAR_SHARE * ahead_s)


def _lateness(state: DinnerState, plan: Plan, new: Timeline, now: Now) -> str:
    """One sentence about the pass: what is late, what is put back for it, when dinner is."""
    late = latest(plan, new)
    if late is None or late.late_s < TELL_S:
        return wording.say("back", when=said_times(state, now))
    cause = None if late.late_s < state.told_late_s else _cause(state, new)
    if cause is None or len(passes_to_come(state)) > 1:
        return said_late(state, late, now)
    thing = short_name(cause, plan)
    sides = "" if state.told_late_s else _sides(state, plan, new, cause)
    return wording.say(
        "late.sides" if sides else "late.because",
        thing=thing,
        be=wording.said_be(thing),
        sides=sides,
        when=wording.said_day(late.ready, now.wall),
        late=wording.said_duration(late.late_s),
    )


def _cause(state: DinnerState, new: Timeline) -> Step | None:
    """What is going and will end later than it was planned to, by most."""
    over: dict[StepId, float] = {}
    for step in steps_in(state, *GOING):
        was = state.timeline.of(step.id) if state.timeline is not None else None
        planned = new.of(step.id)
        if was is not None and planned is not None and not step.added:
            over[step.id] = planned.end - was.end
    worst = max(over, key=over.__getitem__, default=None)
    return None if worst is None or over[worst] < TELL_S else state.step(worst)


def _sides(state: DinnerState, plan: Plan, new: Timeline, cause: Step) -> str:
    """The other dishes with something put back, as they are said; empty if there is none.

    With the pass go what is put back just now and what was to come after the cause anyway.
    """
    ends = new.of(cause.id)
    moved = [
        step
        for step, before in coming(state)
        if (after := new.of(step.id)) is not None
        and (after.start - before.start >= 1 or (ends is not None and after.start >= ends.end))
    ]
    others = dict.fromkeys(step.dish for step in moved if not step.added and step.dish != cause.dish)
    names = [plan.dish(dish).name for dish in others]
    return wording.said_list(names) if len(names) <= SIDES_SAID else wording.say("late.rest").lower()
