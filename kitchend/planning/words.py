"""Small words for what the planner explains: counts, whole minutes, names. Pure text and arithmetic."""

from __future__ import annotations

from kitchend.core.clock import WallTime
from kitchend.core.papers import small_count
from kitchend.core.wording import clause
from kitchend.planning.problem import Task


def count_of(number: int) -> str:
    """A count as it is written: in words up to nine."""
    return small_count(number)


def minutes_up(seconds: int) -> int:
    """Seconds rounded up to a whole minute."""
    return -(-seconds // 60) * 60


def minutes_down(seconds: int) -> int:
    """Seconds rounded down to a whole minute."""
    return seconds // 60 * 60


def whole_minute(time: WallTime) -> WallTime:
    """The next whole minute, or the time itself if it is one."""
    return WallTime(-(-time.epoch_s // 60) * 60, time.offset_s)


def quoted(task: Task) -> str:
    """A step's name set off from the sentence around it."""
    return clause("clash.step", step=task.step.name)
