"""What is said about the pass, whether there is one or, where plans share a kitchen, several.

Facts into sentences through `wording`; with one pass the sentences are the short ones. A pass that has been
called is past and no longer spoken of; a pass on another day says on which.
"""

from __future__ import annotations

from kitchend.core import wording
from kitchend.core.clock import Now, WallTime
from kitchend.core.passes import LatePass, Pass, late_passes, latest, passes_of
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline


def passes_to_come(state: DinnerState) -> tuple[Pass, ...]:
    """The passes that have not been called, the earliest first."""
    passes = () if state.plan is None else passes_of(state.plan)
    return tuple(one for one in passes if one.before_s not in state.passes_called)


def late_s(plan: Plan, timeline: Timeline) -> int:
    """By how much the pass that is missed by most is missed; 0 if none is."""
    late = latest(plan, timeline)
    return 0 if late is None else late.late_s


def said_passes(state: DinnerState, now: Now) -> str:
    """ "The pass is at half past seven.", "The passes are at six o'clock and half past seven." """
    times = _times(state, now)
    if len(times) == 1:
        return wording.say("pass", when=times[0])
    return wording.say("passes", when=wording.said_list(times))


def said_times(state: DinnerState, now: Now) -> str:
    """ "six o'clock and half past seven"."""
    return wording.said_list(_times(state, now))


def said_late(state: DinnerState, late: LatePass, now: Now) -> str:
    """That dinner, or one of its passes, will be late."""
    when, by = wording.said_day(late.ready, now.wall), wording.said_duration(late.late_s)
    if len(passes_to_come(state)) == 1:
        return wording.say("late", when=when, late=by)
    return wording.say("late.pass", asked=wording.said_wall(late.at), when=when, late=by)


def too_late(state: DinnerState, least_s: float) -> tuple[LatePass, ...]:
    """The passes to come that the timeline misses by this much or more."""
    if state.plan is None or state.timeline is None:
        return ()
    ahead = passes_to_come(state)
    late = late_passes(state.plan, state.timeline)
    return tuple(one for one in late if one.late_s >= least_s and one.one in ahead)


def _times(state: DinnerState, now: Now) -> tuple[str, ...]:
    serve: WallTime = now.wall if state.serve is None else state.serve
    return tuple(wording.said_day(one.at(serve), now.wall) for one in passes_to_come(state))
