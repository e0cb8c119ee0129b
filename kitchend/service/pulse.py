"""A sign of life on disk about once a minute, so that after a crash kitchend can say how long it was away.

Only a hint: it is not synced to the disk, and losing it costs nothing but an accurate sentence.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from kitchend.core.clock import Instant, Now

EVERY_S = 60.0
"""Seconds between signs; more would wear the board's card for little."""

NOW = TypeAdapter(Now)


class FilePulse:
    """Keeps the last sign of life in a small file."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._kept_at: Instant | None = None

    def beat(self, now: Now) -> None:
        """Keep the present if the last sign is old enough."""
        if self._kept_at is not None and now.instant - self._kept_at < EVERY_S:
            return
        self._kept_at = now.instant
        fresh = self._path.with_name(self._path.name + ".new")
        with suppress(OSError):
            fresh.write_bytes(NOW.dump_json(now))
            fresh.replace(self._path)

    def last(self) -> Now | None:
        """The last sign; None if there is none that can be read."""
        try:
            return NOW.validate_json(self._path.read_bytes())
        except (OSError, ValidationError):
            return None
