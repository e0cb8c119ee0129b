"""The moments when the hands are busiest, read off a solved dinner. Pure arithmetic on stretches of work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitchend.core.clock import WallTime
from kitchend.core.plan import StepId
from kitchend.core.timeline import Busy
from kitchend.planning.problem import Task

WINDOW_S = 20 * 60
"""Long enough to hold a few calls, short enough to be a moment of the evening (common practice)."""
FULL = 0.6
"""With less work than this share of a window, or for less of all hands in what it comes to, it is no rush."""
MOST = 3

Stretch = tuple[int, int]


def busiest_of(
    tasks: Sequence[Task], starts: Mapping[StepId, int], cooks: int, origin: WallTime
) -> tuple[Busy, ...]:
    """Up to three stretches with the most work for the hands, in the order of the evening; none overlap."""
    work = [
        (starts[task.id], starts[task.id] + task.hands_s)
        for task in tasks
        if task.hands_s > 0 and not task.is_over
    ]
    windows = sorted((_window(work, at) for at, _ in work), key=lambda window: (-window[2], window[0]))
    chosen: list[tuple[int, int, int]] = []
    for start, end, hands_s in windows:
        is_apart = all(end <= other[0] or start >= other[1] for other in chosen)
        is_full = hands_s >= FULL * max(WINDOW_S, (end - start) * cooks)
        if is_apart and is_full and len(chosen) < MOST:
            chosen.append((start, end, hands_s))
    return tuple(
        Busy(start=origin + start, end=origin + end, hands_s=hands_s)
        for start, end, hands_s in sorted(chosen)
    )


def _window(work: Sequence[Stretch], start: int) -> tuple[int, int, int]:
    """From this start to the last work within the window, and the work in it."""
    inside = [(max(start, a), min(start + WINDOW_S, b)) for a, b in work]
    inside = [(a, b) for a, b in inside if b > a]
    return start, max((b for _, b in inside), default=start), sum(b - a for a, b in inside)
