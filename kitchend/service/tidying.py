"""Sees to it that what was said does not stay longer than it may, in a service that runs for months.

A past dinner goes by the date of its file. What was said while nothing was on goes once the first of it is
that old and nothing is on just then.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitchend.core.clock import DAY_S, Instant, Now
from kitchend.service.ports import Pulse
from kitchend.service.retention import forget_old
from kitchend.service.safe_journal import SafeJournal

EVERY_S = 3600.0
"""Seconds between looks."""


class TidyingPulse:
    """A pulse whose beats look now and then at how old everything is; `put_away` empties an idle journal."""

    def __init__(
        self, pulse: Pulse, journal: SafeJournal, path: Path, keep_days: int, put_away: Callable[[], None]
    ) -> None:
        self._pulse = pulse
        self._journal = journal
        self._path = path
        self._keep_days = keep_days
        self._put_away = put_away
        self._looked_at: Instant | None = None

    def beat(self, now: Now) -> None:
        """The loop has come round."""
        self._pulse.beat(now)
        if self._looked_at is not None and now.instant - self._looked_at < EVERY_S:
            return
        self._looked_at = now.instant
        forget_old(self._path, now.wall, self._keep_days)
        first = self._journal.first()
        if first is not None and now.wall - first > self._keep_days * DAY_S:
            self._put_away()

    def last(self) -> Now | None:
        """The last present that was kept."""
        return self._pulse.last()
