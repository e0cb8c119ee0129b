"""A journal that never stops a dinner: what cannot be written is kept in memory and written once it can be.

Takes a journal that may fail, and a way to open it anew. That it fails and that it works again is noticed
once each time. Events reach the disk in their order or not at all, so a gap can never open. Only a file that
a newer kitchend wrote is refused, before anything is on.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import suppress

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.events import Event, Mishap
from kitchend.errors import DeviceError
from kitchend.service.guard import one_line
from kitchend.service.journal import BrokenJournalError, NewerJournalError, SqliteJournal
from kitchend.service.ports import Complain, Pulse
from kitchend.service.wall_clock import Boot, Kept

RETRY_S = 10.0
"""How long a journal that failed is left alone before it is tried again."""

FAILURES = (DeviceError, OSError, sqlite3.Error)

Kind = tuple[Event, Now]


class SafeJournal:
    """Keeps events on disk if it can; made with `opens`, which gives the journal or raises DeviceError."""

    def __init__(self, opens: Callable[[], SqliteJournal], complain: Complain) -> None:
        self._opens = opens
        self._complain = complain
        self._listener: Callable[[Mishap], None] | None = None
        self._untold: list[Mishap] = []
        self._boot: Boot | None = None
        self._unwritten: list[Kind] = []
        self._ends: Now | None = None
        self._failed_at: Instant | None = None
        self._is_failing = False
        self._disk: SqliteJournal | None = None
        try:
            self._disk = self._opened()
        except NewerJournalError:
            raise
        except FAILURES as error:
            self._lose(error, None)
        self._was_read = self._disk is not None

    def tell(self, listener: Callable[[Mishap], None]) -> None:
        """Tell of what went wrong, from now on and so far."""
        self._listener = listener
        while self._untold:
            listener(self._untold.pop(0))

    def begin_run(self, boot: Boot) -> None:
        """Say how the instants of the events to come are made."""
        self._boot = boot
        if self._disk is not None:
            self._disk.begin_run(boot)

    def last(self) -> Kept | None:
        """The present of the last event on disk; None if there is none that can be read."""
        return None if self._disk is None else self._disk.last()

    def first(self) -> WallTime | None:
        """When the first event on disk came; None if there is none that can be read."""
        with suppress(*FAILURES):
            return None if self._disk is None else self._disk.first()
        return None

    def append(self, event: Event, now: Now) -> None:
        """Keep an event: on disk, or in memory until the disk takes it."""
        self._unwritten.append((event, now))
        if not self._is_failing or self._may_retry(now.instant):
            self._write(now)

    def events(self) -> Iterator[Kind]:
        """What was kept since the last finish, in order."""
        if self._disk is not None and self._ends is None:
            yield from self._disk.events()
        yield from tuple(self._unwritten)

    def finish(self, now: Now) -> None:
        """Put this dinner away; if the disk does not let us, once it does."""
        # What was not written by now is of a dinner that is over: only its file is still to be put away.
        self._unwritten.clear()
        self._ends = now
        self._write(now)

    def try_again(self, now: Now) -> None:
        """Write what the disk did not take, if there is any and it was left alone for long enough."""
        if self._is_failing and self._may_retry(now.instant):
            self._write(now)

    def is_whole(self) -> bool:
        """Whether everything is on disk, after one more try."""
        self._save()
        return not self._unwritten and self._ends is None

    def close(self) -> None:
        """Let go of the file, after a last try to write what is in memory alone."""
        self._save()
        self._let_go()

    def _save(self) -> None:
        ends = self._unwritten[-1][1] if self._unwritten else self._ends
        if ends is not None:
            with suppress(*FAILURES):
                self._catch_up(ends)

    def _let_go(self) -> None:
        if self._disk is not None:
            self._disk.close()

    def _may_retry(self, at: Instant) -> bool:
        return self._failed_at is None or at - self._failed_at >= RETRY_S

    def _write(self, now: Now) -> None:
        """Bring the disk up to date; if that fails, say so once and go on."""
        try:
            self._catch_up(now)
        except FAILURES as error:
            if not (isinstance(error, BrokenJournalError) and self._rescue(now)):
                self._lose(error, now.instant)
                return
        if self._is_failing:
            self._is_failing = False
            self._note(Mishap.KEPT_AGAIN)

    def _catch_up(self, now: Now) -> None:
        if self._disk is None:
            self._disk = self._opened()
            # What could not be read at the start is no part of this dinner.
            self._ends = self._ends or (None if self._was_read else now)
        if self._ends is not None:
            self._disk.finish(self._ends)
            self._ends = None
        if self._unwritten:
            self._disk.append_all(self._unwritten)
            self._unwritten.clear()

    def _rescue(self, now: Now) -> bool:
        """Go on with a new file and what can be read of the broken one; whether that worked."""
        self._let_go()
        self._disk = None
        try:
            self._catch_up(now)
        except FAILURES:
            return False
        return True

    def _lose(self, error: Exception, at: Instant | None) -> None:
        self._failed_at = at
        if self._ends is not None:
            # Half put away, perhaps: opened anew it is one or the other.
            self._let_go()
            self._disk = None
        if not self._is_failing:
            self._is_failing = True
            self._complain(one_line(str(error)))
            self._note(Mishap.NOT_KEPT)

    def _note(self, mishap: Mishap) -> None:
        if self._listener is None:
            self._untold.append(mishap)
        else:
            self._listener(mishap)

    def _opened(self) -> SqliteJournal:
        disk = self._opens()
        if self._boot is not None:
            disk.begin_run(self._boot)
        if disk.was_damaged:
            self._note(Mishap.DAMAGED)
        return disk


class CatchingUp:
    """A pulse whose beats let a journal write what the disk did not take; the next event may be hours off."""

    def __init__(self, pulse: Pulse, journal: SafeJournal) -> None:
        self._pulse = pulse
        self._journal = journal

    def beat(self, now: Now) -> None:
        """The loop has come round."""
        self._pulse.beat(now)
        self._journal.try_again(now)

    def last(self) -> Now | None:
        """The last present that was kept."""
        return self._pulse.last()
