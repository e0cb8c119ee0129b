"""What a running process costs: seconds of processor and memory, its children's included; read from /proc."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

TICKS = os.sysconf("SC_CLK_TCK")
PAGE_MB = os.sysconf("SC_PAGE_SIZE") / 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """Of one moment: processor seconds so far of the process and of its children alive, and its memory."""

    cpu_s: float
    resident_mb: float
    children_mb: float


def footprint(process: int) -> Footprint:
    """Of the process with this number, now."""
    children = children_of(process)
    return Footprint(
        cpu_s=sum(cpu_s(one) for one in (process, *children)),
        resident_mb=resident_mb(process),
        children_mb=sum(resident_mb(child) for child in children),
    )


def cpu_s(process: int) -> float:
    """Seconds of processor it has used, its children's that have ended among them; 0 if it has ended."""
    with suppress(OSError):
        # After the name in brackets, which may hold spaces: proc(5) counts from the state, which is 3.
        fields = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()
        return sum(int(fields[number - 3]) for number in (14, 15, 16, 17)) / TICKS
    return 0.0


def resident_mb(process: int) -> float:
    """What it holds in memory; 0 if it has ended."""
    with suppress(OSError):
        return int(Path(f"/proc/{process}/statm").read_text("utf-8").split()[1]) * PAGE_MB
    return 0.0


def children_of(process: int) -> list[int]:
    """The processes it started and that live."""
    found: list[int] = []
    for task in Path(f"/proc/{process}/task").glob("*/children"):
        with suppress(OSError):
            found += map(int, task.read_text("utf-8").split())
    return found
