"""Two kinds of time that never mix: running time and wall time. Arithmetic only.

An `Instant` counts seconds that have really passed and never jumps; timers live in it. A `WallTime` is
what the clock on the wall shows; the pass and the timeline live in it. Nothing here reads a clock: a `Now`,
holding both, is handed in by whoever does.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import overload

DAY_S = 24 * 3600


@dataclass(frozen=True, slots=True, order=True)
class Instant:
    """A point of running time, in seconds since an arbitrary start. Never goes back, never jumps."""

    s: float

    def __add__(self, seconds: float) -> Instant:
        return Instant(self.s + seconds)

    @overload
    def __sub__(self, other: Instant) -> float: ...
    @overload
    def __sub__(self, other: float) -> Instant: ...
    def __sub__(self, other: Instant | float) -> float | Instant:
        """Seconds between two instants, or the instant so many seconds earlier."""
        return self.s - other.s if isinstance(other, Instant) else Instant(self.s - other)


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """An hour and a minute as a plan or a cook gives it, 24-hour clock."""

    hour: int
    minute: int = 0

    def __str__(self) -> str:
        return f"{self.hour:02d}:{self.minute:02d}"


@dataclass(frozen=True, slots=True)
class WallTime:
    """What the clock on the wall shows: seconds since 1970 in UTC, with the zone's offset in seconds."""

    epoch_s: float
    offset_s: int = 0

    def __add__(self, seconds: float) -> WallTime:
        return WallTime(self.epoch_s + seconds, self.offset_s)

    @overload
    def __sub__(self, other: WallTime) -> float: ...
    @overload
    def __sub__(self, other: float) -> WallTime: ...
    def __sub__(self, other: WallTime | float) -> float | WallTime:
        """Seconds between two wall times, or the wall time so many seconds earlier."""
        if isinstance(other, WallTime):
            return self.epoch_s - other.epoch_s
        return WallTime(self.epoch_s - other, self.offset_s)

    def __lt__(self, other: WallTime) -> bool:
        return self.epoch_s < other.epoch_s

    def __le__(self, other: WallTime) -> bool:
        return self.epoch_s <= other.epoch_s

    @property
    def local(self) -> datetime:
        """The same moment as an aware datetime in its own zone."""
        return datetime.fromtimestamp(self.epoch_s, timezone(timedelta(seconds=self.offset_s)))

    @property
    def time_of_day(self) -> TimeOfDay:
        """The hour and minute it shows, rounded to the nearest minute."""
        rounded = self.local + timedelta(seconds=30)
        return TimeOfDay(rounded.hour, rounded.minute)

    def isoformat(self) -> str:
        """ISO 8601 with offset, to the second: 2026-05-01T19:30:00+02:00."""
        return self.local.isoformat(timespec="seconds")

    def next_at(self, time: TimeOfDay) -> WallTime:
        """The next moment at or after this one when the wall shows `time` (within 24 hours)."""
        here = self.local
        then = here.replace(hour=time.hour, minute=time.minute, second=0, microsecond=0)
        if then < here:
            then += timedelta(days=1)
        return WallTime(then.timestamp(), self.offset_s)


@dataclass(frozen=True, slots=True)
class Now:
    """The present, in both kinds of time. The only way the core learns what time it is."""

    instant: Instant
    wall: WallTime

    def instant_of(self, wall: WallTime) -> Instant:
        """The running-time instant at which the wall will show `wall`, if nobody moves the clock."""
        return self.instant + (wall - self.wall)

    def wall_of(self, instant: Instant) -> WallTime:
        """What the wall will show at `instant`, if nobody moves the clock."""
        return self.wall + (instant - self.instant)

    def after(self, seconds: float) -> Now:
        """The present so many seconds later; for rehearsal and tests."""
        return Now(self.instant + seconds, self.wall + seconds)
