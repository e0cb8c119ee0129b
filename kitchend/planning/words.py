"""Small words for what the planner explains: counts, whole minutes, lists, names. Pure text and
arithmetic.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.clock import WallTime
from kitchend.planning.problem import Task

_COUNT_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def count_of(number: int) -> str:
    """A count in words as far as they go."""
    return _COUNT_WORDS[number] if 0 <= number < len(_COUNT_WORDS) else str(number)


def minutes_up(seconds: int) -> int:
    """Seconds rounded up to a whole minute."""
    return -(-seconds // 60) * 60


def minutes_down(seconds: int) -> int:
    """Seconds rounded down to a whole minute."""
    return seconds // 60 * 60


def whole_minute(time: WallTime) -> WallTime:
    """The next whole minute, or the time itself if it is one."""
    return WallTime(-(-time.epoch_s // 60) * 60, time.offset_s)


def listed(parts: Sequence[str]) -> str:
    """Parts with commas and an "and" before the last."""
    return " and ".join([", ".join(parts[:-1])] * (len(parts) > 1) + list(parts[-1:]))


def quoted(task: Task) -> str:
    """A step's name set off from the sentence around it."""
    return f"“{task.step.name}”"
