"""The journal on disk: every event of the dinner that is on, in SQLite, safe before its effects happen.

One row an event, appended and never changed. A finished dinner's file is set aside under its date, a damaged
one likewise, and the next dinner starts an empty file. What events mean is not asked here.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.events import DinnerStarted, Event
from kitchend.errors import DeviceError
from kitchend.service.guard import one_line
from kitchend.service.keeping import event_of, json_of, kind_of
from kitchend.service.ports import Complain
from kitchend.service.wall_clock import Boot, Kept

VERSION = 1
"""The shape of the tables, kept in the file as `user_version`."""

KEPT_FILES = 50
"""How many dinners that are over stay on disk."""

TABLES = """
CREATE TABLE runs (id INTEGER PRIMARY KEY, boot TEXT NOT NULL, shift_s REAL NOT NULL);
CREATE TABLE events (
    number INTEGER PRIMARY KEY,
    run INTEGER NOT NULL REFERENCES runs,
    instant_s REAL NOT NULL,
    wall_s REAL NOT NULL,
    offset_s INTEGER NOT NULL,
    kind TEXT NOT NULL,
    event TEXT NOT NULL
);
"""

ADD = "INSERT INTO events (run, instant_s, wall_s, offset_s, kind, event) VALUES (?, ?, ?, ?, ?, ?)"
IS_DINNER = "SELECT count(*) FROM events WHERE kind = ?"
ALL = "SELECT instant_s, wall_s, offset_s, kind, event FROM events ORDER BY number"
LAST = """SELECT instant_s, wall_s, offset_s, boot, shift_s FROM events JOIN runs ON runs.id = events.run
    ORDER BY number DESC LIMIT 1"""


class SqliteJournal:
    """Keeps events in `path`; made by `open_journal`. Say `begin_run` before the first `append`."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._boot: Boot | None = None
        self._run: int | None = None
        self._connection = _connected(path)

    def begin_run(self, boot: Boot) -> None:
        """Say how the instants of the events to come are made."""
        self._boot, self._run = boot, None

    def last(self) -> Kept | None:
        """The present of the last event, None for an empty journal."""
        row = self._connection.execute(LAST).fetchone()
        if row is None:
            return None
        instant_s, wall_s, offset_s, boot, shift_s = row
        now = Now(Instant(instant_s), WallTime(wall_s, offset_s))
        return Kept(now=now, boot=Boot(id=boot, shift_s=shift_s))

    def append(self, event: Event, now: Now) -> None:
        """Keep an event; it is on the disk when this returns. DeviceError if it cannot be kept."""
        try:
            with self._connection:
                row = (self._run_id(), now.instant.s, now.wall.epoch_s, now.wall.offset_s)
                self._connection.execute(ADD, (*row, kind_of(event), json_of(event)))
        except sqlite3.Error as error:
            self._run = None
            hint = "until that is mended, timers would not survive a restart"
            raise DeviceError("journal", f"cannot write {self._path}: {error}", hint) from None

    def events(self) -> Iterator[tuple[Event, Now]]:
        """What was kept, in order."""
        rows = self._connection.execute(ALL).fetchall()
        for instant_s, wall_s, offset_s, kind, text in rows:
            yield event_of(kind, text), Now(Instant(instant_s), WallTime(wall_s, offset_s))

    def finish(self, now: Now) -> None:
        """Set a dinner's file aside under its date and go on with an empty one."""
        if not self._connection.execute(IS_DINNER, (DinnerStarted.__name__,)).fetchone()[0]:
            with self._connection:
                self._connection.execute("DELETE FROM events")
            return
        self.close()
        set_aside(self._path, now.wall, "dinner")
        _forget_oldest(self._path)
        self._connection, self._run = _connected(self._path), None

    def check(self) -> None:
        """Read it to its end; ValueError or DatabaseError if that cannot be done."""
        names = {name for (name,) in self._connection.execute("SELECT name FROM sqlite_master")}
        if not {"runs", "events"} <= names:
            raise ValueError("its tables are missing")
        for _ in self.events():
            pass

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def _run_id(self) -> int:
        if self._run is None:
            boot = self._boot or Boot(id="")
            added = self._connection.execute(
                "INSERT INTO runs (boot, shift_s) VALUES (?, ?)", (boot.id, boot.shift_s)
            )
            self._run = added.lastrowid or 0
        return self._run


def open_journal(path: Path, *, wall: Callable[[], WallTime], complain: Complain) -> SqliteJournal:
    """The journal at `path`; a damaged one is set aside with one line and an empty one begun.

    DeviceError if a newer kitchend wrote it or the folder cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        return _sound(path)
    except (sqlite3.DatabaseError, ValueError) as error:
        if isinstance(error, sqlite3.OperationalError):
            raise DeviceError("journal", f"cannot use {path}: {error}", "is its folder writable?") from None
        aside = set_aside(path, wall(), "damaged")
        why = one_line(str(error))[:80]
        complain(f"the journal {path} is damaged ({why}); it is now {aside.name}, a new one is begun")
        return SqliteJournal(path)
    except OSError as error:
        raise DeviceError("journal", f"cannot make {path}: {error.strerror}", "set XDG_STATE_HOME") from None


def set_aside(path: Path, wall: WallTime, why: str) -> Path:
    """Rename a journal to a dated name beside it, never over another; gives the new name."""
    stem = f"{wall.local:%Y-%m-%d-%H%M%S}-{why}"
    aside = path.with_name(f"{stem}{path.suffix}")
    number = 1
    while aside.exists():
        number += 1
        aside = path.with_name(f"{stem}-{number}{path.suffix}")
    path.replace(aside)
    for tail in ("-wal", "-shm"):
        path.with_name(path.name + tail).unlink(missing_ok=True)
    return aside


def _sound(path: Path) -> SqliteJournal:
    """The journal, read through once; ValueError or DatabaseError if it cannot be read to its end."""
    journal = SqliteJournal(path)
    try:
        journal.check()
    except BaseException:
        journal.close()
        raise
    return journal


def _connected(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=5.0, check_same_thread=False)
    try:
        path.chmod(0o600)
        connection.execute("PRAGMA journal_mode=WAL").close()
        connection.execute("PRAGMA synchronous=FULL").close()
        _upgrade(connection, path)
    except BaseException:
        connection.close()
        raise
    return connection


def _upgrade(connection: sqlite3.Connection, path: Path) -> None:
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    if version > VERSION:
        raise DeviceError(
            "journal",
            f"{path} was written by a newer kitchend (version {version}, this one knows {VERSION})",
            "upgrade kitchend, or move that file away to start afresh",
        )
    if version == 0:
        connection.executescript(f"BEGIN; {TABLES} PRAGMA user_version={VERSION}; COMMIT;")


def _forget_oldest(path: Path) -> None:
    over = sorted(path.parent.glob(f"*-dinner*{path.suffix}"))
    for old in over[:-KEPT_FILES]:
        old.unlink(missing_ok=True)
