"""How long past dinners, and what was said at them, stay on disk. Goes by the date in a file's name.

Past dinners are those that were served, and journals that were set aside for another reason. The journal of
the dinner that is on is never touched.
"""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from kitchend.core.clock import DAY_S, WallTime

KEPT_DAYS = 30
KEPT_FILES = 50
"""How many past dinners stay at most."""

_DATED = re.compile(r"(\d{4}-\d{2}-\d{2}-\d{6})-(?:dinner|damaged|replaced)(?:-\d+)?$")


def past_dinners(journal: Path) -> list[Path]:
    """Journals that were set aside, the oldest first."""
    found = journal.parent.glob(f"*{journal.suffix}")
    return sorted(path for path in found if _DATED.match(path.stem))


def forget_old(journal: Path, wall: WallTime, days: int) -> None:
    """Remove those older than so many days, and the oldest where there are too many."""
    past = past_dinners(journal)
    old = [path for path in past if _age_s(path, wall) > days * DAY_S]
    many = past[:-KEPT_FILES]
    for path in {*old, *many}:
        with suppress(OSError):
            remove(path)


def remove(journal: Path) -> None:
    """Remove a journal and what SQLite keeps beside it; OSError if that cannot be done."""
    for tail in ("", "-wal", "-shm"):
        journal.with_name(journal.name + tail).unlink(missing_ok=True)


def _age_s(path: Path, wall: WallTime) -> float:
    dated = _DATED.match(path.stem)
    assert dated is not None
    try:
        shown = datetime.strptime(dated[1], "%Y-%m-%d-%H%M%S").replace(tzinfo=UTC)
    except ValueError:
        return 0.0
    return wall.epoch_s + wall.offset_s - shown.timestamp()
