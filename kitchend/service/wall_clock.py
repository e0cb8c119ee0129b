"""The only file that reads the system's clocks.

Running time comes from the clock that also counts while the board sleeps, and goes on from where the journal
left it: over a restart of kitchend exactly, over a restart of the board by what the wall clock says passed,
never backwards. Everyone else is handed a `Now`.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kitchend.core.clock import Instant, Now, WallTime

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


@dataclass(frozen=True, slots=True, kw_only=True)
class Boot:
    """How instants are made: which start of the board, and what is added to its running seconds."""

    id: str
    shift_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The last present the journal knows, and how its instants were made."""

    now: Now
    boot: Boot


class SystemClock:
    """The real time. With `kept`, instants go on from it."""

    def __init__(self, kept: Kept | None = None) -> None:
        self.boot = _boot_after(kept)

    def now(self) -> Now:
        """The present."""
        return Now(Instant(running_s() + self.boot.shift_s), wall_now())


def wall_now() -> WallTime:
    """What the clock on the wall shows here, with the zone's present offset."""
    here = datetime.now().astimezone()
    offset = here.utcoffset()
    return WallTime(here.timestamp(), int(offset.total_seconds()) if offset else 0)


def running_s() -> float:
    """Seconds since the board started, sleep included; where the system lacks that clock, without sleep."""
    boot_clock = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)
    return time.clock_gettime(boot_clock)


class Stopwatch:
    """Seconds since it was made; for saying how long something took."""

    def __init__(self) -> None:
        self._began = time.perf_counter()

    @property
    def took_s(self) -> float:
        """Seconds so far."""
        return time.perf_counter() - self._began


def boot_id() -> str:
    """What tells this start of the board from others; empty where the system does not say."""
    try:
        return BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return ""


def _boot_after(kept: Kept | None) -> Boot:
    here = boot_id()
    if kept is None:
        return Boot(id=here)
    if here and here == kept.boot.id:
        return kept.boot
    away_s = max(0.0, wall_now() - kept.now.wall)
    return Boot(id=here, shift_s=kept.now.instant.s + away_s - running_s())
