"""How thickly calls fall: the busiest ten minutes, the time in flood, and what a plan has in store.

More calls than a person can see to are a flood: it begins with more than ten in ten minutes and ends below
five (EEMUA 191 and ISA-18.2 for alarms, as given by makers of alarm systems). Counts only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kitchend.core.plan import Plan, Step
from kitchend.core.repeats import TOGETHER_S
from kitchend.core.timeline import Timeline

WINDOW_S = 600.0
FLOOD, CALM = 10, 5
"""A flood begins with more than `FLOOD` calls in ten minutes and is over below `CALM`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rush:
    """A stretch with too many calls, in seconds on the scale of the moments; `most` within ten minutes."""

    start_s: float
    end_s: float
    most: int


def busiest(moments: Iterable[float]) -> int:
    """The most calls that fall within any ten minutes."""
    ordered = sorted(moments)
    return max((_count(ordered, end) for end in ordered), default=0)


def rushes(moments: Iterable[float]) -> tuple[Rush, ...]:
    """Every flood among calls at these moments, in seconds; one that does not ebb ends ten minutes on."""
    ordered = sorted(moments)
    found: list[Rush] = []
    start: float | None = None
    most = 0
    # The count changes only where a call comes in or, ten minutes later, drops out.
    for at in sorted({*ordered, *(moment + WINDOW_S for moment in ordered)}):
        count = _count(ordered, at)
        if start is None and count > FLOOD:
            start, most = at, count
        elif start is not None and count < CALM:
            found.append(Rush(start_s=start, end_s=at, most=most))
            start = None
        most = max(most, count)
    return tuple(found)


def _count(ordered: Sequence[float], end: float) -> int:
    return sum(end - WINDOW_S < moment <= end for moment in ordered)


def planned_calls(plan: Plan, timeline: Timeline) -> dict[float, tuple[Step, ...]]:
    """What a dinner that goes as planned is called for: moments in seconds of wall time, and the steps.

    Each step is called when it is due and when its time is up; what looks after itself is told of too. Calls
    within twenty seconds are one.
    """
    steps = {step.id: step for step in (*plan.steps, *timeline.added)}
    falls: list[tuple[float, Step]] = []
    for planned in timeline.planned:
        step = steps[planned.step]
        falls.append((planned.start.epoch_s, step))
        if not step.is_hands_only and not step.added:
            falls.append((planned.end.epoch_s, step))
    calls: dict[float, tuple[Step, ...]] = {}
    for at, step in sorted(falls, key=lambda fall: fall[0]):
        last = max(calls, default=None)
        moment = last if last is not None and at - last <= TOGETHER_S else at
        calls[moment] = (*calls.get(moment, ()), step)
    return calls


def joinable(plan: Plan, steps: Iterable[Step]) -> tuple[Step, Step] | None:
    """Two of these steps that could be one: both all hands, one straight after the other in its dish."""
    called = list(dict.fromkeys(step.id for step in steps))
    for step in plan.steps:
        for before in plan.steps:
            both = before.id in called and step.id in called
            if both and step.after == (before.id,) and step.is_hands_only and before.is_hands_only:
                return before, step
    return None
