"""Numbers that are odd for what they are said about, so that they are read back before they count.

Limits are wide: what a cook may well mean is not asked. They are common practice, not published values. Only
looks; the question is put, and the yes carried out, by whoever asked.
"""

from __future__ import annotations

from kitchend.core.clock import WallTime
from kitchend.core.plan import Step

MOST_GIVEN_S = 30 * 60
"""More time than this at once is odd, but for what takes longer anyway."""

LONGEST_TIMER_S = 6 * 3600
"""Dinners are cooked in an evening."""

FARTHEST_PASS_S = 2 * 3600
"""A pass moved farther than this at once is odd."""

HEATED_C = (30.0, 300.0)
"""What ovens, smokers and grills of a home read between."""


def is_odd_gift(seconds: int, step: Step | None, left_s: float) -> bool:
    """Whether this is more time than a thing can well need (None: a cook's own timer), or takes off all."""
    if seconds < 0:
        return left_s > 0 and -seconds >= left_s
    return seconds > max(MOST_GIVEN_S, step.takes.high_s if step is not None else 0)


def is_odd_timer(seconds: int) -> bool:
    """Whether a timer or a reminder is longer than a dinner."""
    return seconds > LONGEST_TIMER_S


def is_odd_pass(before: WallTime, after: WallTime) -> bool:
    """Whether the pass would move farther than a dinner slips."""
    return abs(after - before) > FARTHEST_PASS_S


def is_odd_heat(celsius: float) -> bool:
    """Whether no oven reads this."""
    return not HEATED_C[0] <= celsius <= HEATED_C[1]
