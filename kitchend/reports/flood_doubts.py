"""Where a plan would call its cook more often than a person can see to, and what to join.

Doubts only: the plan can be cooked. When calls fall is read from a timeline; what a flood is stands in
`core/floods`.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.clock import WallTime
from kitchend.core.floods import Rush, joinable, planned_calls, rushes
from kitchend.core.plan import Plan, Step
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.errors import Problem


@of_state
def flood_doubts(file: str, text: str, plan: Plan, timeline: Timeline) -> tuple[Problem, ...]:
    """A doubt for each flood; `text` is the file's own, to find the line of the step named."""
    calls = planned_calls(plan, timeline)
    offset_s = timeline.serve.offset_s
    return tuple(_doubt(file, text, plan, rush, calls, offset_s) for rush in rushes(calls))


def _doubt(
    file: str, text: str, plan: Plan, rush: Rush, calls: dict[float, tuple[Step, ...]], offset_s: int
) -> Problem:
    begin = rush.start_s - 600
    steps = [step for at, called in calls.items() if begin < at <= rush.end_s for step in called]
    start, end = (WallTime(at, offset_s).local.strftime("%H:%M") for at in (begin, rush.end_s))
    message = clause("doubt.flood", start=start, end=end, most=f"{rush.most}")
    pair = joinable(plan, steps)
    if pair is None:
        return Problem(file=file, message=message, hint=clause("doubt.flood.keeps"))
    one, other = pair
    hint = clause("doubt.flood.join", one=one.name, other=other.name)
    return Problem(file=file, line=_line(text, one.name), field=one.name, message=message, hint=hint)


def _line(text: str, words: str) -> int | None:
    lines: Sequence[str] = text.casefold().splitlines()
    return next((number for number, line in enumerate(lines, start=1) if words.casefold() in line), None)
