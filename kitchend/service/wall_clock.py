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
CLOCKS = Path("/sys/class/rtc")
"""The board's own clocks, see the kernel's Documentation/ABI/testing/rtc-cdev and sysfs `hctosys`."""
SYNCHRONIZED = Path("/run/systemd/timesync/synchronized")
"""There once the network has given the time, see systemd-timesyncd.service(8)."""


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
    """The real time. With `kept`, instants go on from it.

    `knows_away` is whether they do so exactly: not on a board that started anew with a clock nobody set.
    """

    def __init__(self, kept: Kept | None = None) -> None:
        here = boot_id()
        is_same_boot = kept is None or bool(here and here == kept.boot.id)
        self.boot = kept.boot if kept is not None and is_same_boot else _boot_after(kept, here)
        self.knows_away = is_same_boot or kept is None or _is_right_since(kept.now.wall)

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


def processor_s() -> float:
    """Seconds of processor that this process has used, on all its threads."""
    return time.process_time()


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


def has_right_time(clocks: Path = CLOCKS, synchronized: Path = SYNCHRONIZED) -> bool:
    """Whether the clock on the wall was set by a clock with a battery, or by the network since the start."""
    if synchronized.exists():
        return True
    return any(_reads_one(clock / "hctosys") for clock in sorted(clocks.glob("rtc*")))


def _reads_one(path: Path) -> bool:
    try:
        return path.read_text(encoding="ascii").strip() == "1"
    except OSError:
        return False


def _is_right_since(then: WallTime) -> bool:
    return then <= wall_now() and has_right_time()


def _boot_after(kept: Kept | None, here: str) -> Boot:
    if kept is None:
        return Boot(id=here)
    away_s = max(0.0, wall_now() - kept.now.wall)
    return Boot(id=here, shift_s=kept.now.instant.s + away_s - running_s())
