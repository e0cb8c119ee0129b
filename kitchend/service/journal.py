"""The journal on disk: every event of the dinner that is on, in SQLite, safe before its effects happen.

One row an event, appended and never changed, each with its checksum. A finished dinner's file is set aside
under its date, a damaged one likewise, and what can still be read of it goes into the next. An older file is
brought up to date, a newer one refused. What events mean is not asked here.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.events import DinnerStarted, Event
from kitchend.errors import DeviceError
from kitchend.service.guard import one_line
from kitchend.service.keeping import event_of, json_of, kind_of
from kitchend.service.ports import Complain
from kitchend.service.retention import KEPT_DAYS, forget_old
from kitchend.service.salvage import EVERY_ROW, Row, checksum, readable_rows, wal_is_broken
from kitchend.service.wall_clock import Boot, Kept

VERSION = 2
"""The shape of the tables, kept in the file as `user_version`."""

TABLES = """
CREATE TABLE runs (id INTEGER PRIMARY KEY, boot TEXT NOT NULL, shift_s REAL NOT NULL);
CREATE TABLE events (
    number INTEGER PRIMARY KEY,
    run INTEGER NOT NULL REFERENCES runs,
    instant_s REAL NOT NULL,
    wall_s REAL NOT NULL,
    offset_s INTEGER NOT NULL,
    kind TEXT NOT NULL,
    event TEXT NOT NULL,
    checksum INTEGER NOT NULL
);
"""
CHECKPOINT_PAGES = 100
"""How much is written before it goes from the log into the file itself: a torn log costs no more."""

CACHE_KB = 512
"""A journal is written at its end and read from front to back: more than this need not stay in memory."""

ADD = """INSERT INTO events (run, instant_s, wall_s, offset_s, kind, event, checksum)
    VALUES (?, ?, ?, ?, ?, ?, ?)"""
HOW_MANY = "SELECT count(*) FROM events"
IS_DINNER = "SELECT count(*) FROM events WHERE kind = ?"
FROM_1 = """SELECT number, boot, shift_s, instant_s, wall_s, offset_s, kind, event
    FROM events JOIN runs ON runs.id = events.run"""
FIRST = "SELECT wall_s, offset_s FROM events ORDER BY number LIMIT 1"
LAST = """SELECT instant_s, wall_s, offset_s, boot, shift_s FROM events JOIN runs ON runs.id = events.run
    ORDER BY number DESC LIMIT 1"""


class SqliteJournal:
    """Keeps events in `path`; made by `open_journal`. Say `begin_run` before the first `append`."""

    def __init__(self, path: Path, keep_days: int = KEPT_DAYS) -> None:
        self._path = path
        self._keep_days = keep_days
        self._boot: Boot | None = None
        self._run: int | None = None
        self.was_damaged = False
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

    def first(self) -> WallTime | None:
        """When the first event came, None for an empty journal."""
        row = self._connection.execute(FIRST).fetchone()
        return None if row is None else WallTime(*row)

    def append(self, event: Event, now: Now) -> None:
        """Keep an event; it is on the disk when this returns. DeviceError if it cannot be kept."""
        self.append_all(((event, now),))

    def append_all(self, events: Iterable[tuple[Event, Now]]) -> None:
        """Keep events, all or none. BrokenJournalError if the file is damaged, else DeviceError."""
        boot = self._boot or Boot(id="")
        try:
            with self._connection:
                run = self._run_id()
                for event, now in events:
                    self._add(run, row_of(event, now, boot))
        except sqlite3.Error as error:
            self._run = None
            hint = "until that is mended, timers would not survive a restart"
            is_broken = not isinstance(error, sqlite3.OperationalError)
            kind = BrokenJournalError if is_broken else DeviceError
            raise kind("journal", f"cannot write {self._path}: {error}", hint) from None

    def take_over(self, rows: Iterable[Row]) -> None:
        """Keep what could be read of another file, as it stood there."""
        runs: dict[tuple[str, float], int] = {}
        with self._connection:
            for row in rows:
                made = (row.boot, row.shift_s)
                if made not in runs:
                    runs[made] = self._new_run(Boot(id=row.boot, shift_s=row.shift_s))
                self._add(runs[made], row)

    def events(self) -> Iterator[tuple[Event, Now]]:
        """What was kept, in order; ValueError at a row that does not fit its checksum."""
        for values in self._connection.execute(EVERY_ROW).fetchall():
            row = Row(*values)
            if row.checksum != checksum(row):
                raise ValueError(f"row {row.number} does not fit its checksum")
            now = Now(Instant(row.instant_s), WallTime(row.wall_s, row.offset_s))
            yield event_of(row.kind, row.event), now

    def finish(self, now: Now) -> None:
        """Set a dinner's file aside under its date and go on with an empty one."""
        if not self._connection.execute(IS_DINNER, (DinnerStarted.__name__,)).fetchone()[0]:
            with self._connection:
                self._connection.execute("DELETE FROM events")
            # What was said goes from the log beside the file as well.
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()
            return
        self.close()
        set_aside(self._path, now.wall, "dinner")
        forget_old(self._path, now.wall, self._keep_days)
        self._connection, self._run = _connected(self._path), None

    def check(self) -> None:
        """Read it to its end; ValueError or DatabaseError if that cannot be done."""
        names = {name for (name,) in self._connection.execute("SELECT name FROM sqlite_master")}
        if not {"runs", "events"} <= names:
            raise ValueError("its tables are missing")
        read = sum(1 for _ in self.events())
        (kept,) = self._connection.execute(HOW_MANY).fetchone()
        if read != kept:
            raise ValueError("a row belongs to no run")

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def _run_id(self) -> int:
        if self._run is None:
            self._run = self._new_run(self._boot or Boot(id=""))
        return self._run

    def _new_run(self, boot: Boot) -> int:
        added = self._connection.execute(
            "INSERT INTO runs (boot, shift_s) VALUES (?, ?)", (boot.id, boot.shift_s)
        )
        return added.lastrowid or 0

    def _add(self, run: int, row: Row) -> None:
        values = (run, row.instant_s, row.wall_s, row.offset_s, row.kind, row.event, row.checksum)
        self._connection.execute(ADD, values)


class NewerJournalError(DeviceError):
    """The journal was written by a newer kitchend; nothing of it may be touched."""


class BrokenJournalError(DeviceError):
    """The journal's file is damaged."""


def row_of(event: Event, now: Now, boot: Boot) -> Row:
    """The row an event is kept as, its number still open."""
    row = Row(
        0,
        boot.id,
        boot.shift_s,
        now.instant.s,
        now.wall.epoch_s,
        now.wall.offset_s,
        kind_of(event),
        json_of(event),
        0,
    )
    return row._replace(checksum=checksum(row))


def open_journal(
    path: Path, *, wall: Callable[[], WallTime], complain: Complain, keep_days: int = KEPT_DAYS
) -> SqliteJournal:
    """The journal at `path`. A damaged one is set aside, and a new one begun with what can be read of it.

    NewerJournalError if a newer kitchend wrote it, DeviceError if it cannot be used for want of a disk.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        forget_old(path, wall(), keep_days)
        return _sound(path, keep_days)
    except (sqlite3.DatabaseError, ValueError) as error:
        if isinstance(error, sqlite3.OperationalError):
            raise DeviceError("journal", f"cannot use {path}: {error}", "is its folder writable?") from None
        return _rescued(path, one_line(str(error))[:80], wall(), complain, keep_days)
    except OSError as error:
        raise DeviceError("journal", f"cannot make {path}: {error.strerror}", "set XDG_STATE_HOME") from None


def _rescued(path: Path, why: str, wall: WallTime, complain: Complain, keep_days: int) -> SqliteJournal:
    """A new journal in place of a damaged one. DeviceError if that one cannot be moved away."""
    try:
        aside = set_aside(path, wall, "damaged")
    except OSError as error:
        problem = f"{path} is damaged ({why}) and cannot be moved away: {error.strerror}"
        raise DeviceError("journal", problem, "is its folder writable?") from None
    rows = readable_rows(aside)
    journal = SqliteJournal(path, keep_days)
    journal.was_damaged = True
    try:
        journal.take_over(rows)
    except sqlite3.Error as error:
        journal.close()
        raise DeviceError("journal", f"cannot write {path}: {error}", f"what it held is {aside}") from None
    complain(
        f"the journal {path} is damaged ({why}); it is now {aside.name}, and {len(rows)} events are kept"
    )
    return journal


def set_aside(path: Path, wall: WallTime, why: str, tail: str = "") -> Path:
    """Rename a journal to a dated name beside it, `tail` at its end, never over another; gives that name."""
    stem, ending = f"{wall.local:%Y-%m-%d-%H%M%S}-{why}", path.suffix + tail
    aside = path.with_name(f"{stem}{ending}")
    number = 1
    while aside.exists():
        number += 1
        aside = path.with_name(f"{stem}-{number}{ending}")
    path.replace(aside)
    path.with_name(path.name + "-shm").unlink(missing_ok=True)
    log = path.with_name(path.name + "-wal")
    if log.exists():
        log.replace(aside.with_name(aside.name + "-wal"))
    return aside


def _sound(path: Path, keep_days: int) -> SqliteJournal:
    """The journal, read through once; ValueError or DatabaseError if it cannot be read to its end."""
    if wal_is_broken(path):
        raise ValueError("its log has a hole")
    journal = SqliteJournal(path, keep_days)
    try:
        journal.check()
    except BaseException:
        journal.close()
        raise
    return journal


def _connected(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=5.0, check_same_thread=False)
    # A byte that is no text must not hide behind an error of its own: the row's checksum tells.
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    try:
        path.chmod(0o600)
        connection.execute("PRAGMA journal_mode=WAL").close()
        connection.execute("PRAGMA synchronous=FULL").close()
        connection.execute(f"PRAGMA wal_autocheckpoint={CHECKPOINT_PAGES}").close()
        connection.execute(f"PRAGMA cache_size=-{CACHE_KB}").close()
        connection.execute("PRAGMA secure_delete=ON").close()
        _upgrade(connection, path)
    except BaseException:
        connection.close()
        raise
    return connection


def _upgrade(connection: sqlite3.Connection, path: Path) -> None:
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    if version > VERSION:
        raise NewerJournalError(
            "journal",
            f"{path} was written by a newer kitchend (version {version}, this one knows {VERSION})",
            "upgrade kitchend, or move that file away to start afresh",
        )
    if version == 0:
        connection.executescript(f"BEGIN; {TABLES} PRAGMA user_version={VERSION}; COMMIT;")
    elif version == 1:
        _add_checksums(connection)


def _add_checksums(connection: sqlite3.Connection) -> None:
    """From version 1 to 2: each row gets its checksum; all or nothing."""
    connection.execute("BEGIN")
    with connection:
        connection.execute("ALTER TABLE events ADD COLUMN checksum INTEGER NOT NULL DEFAULT 0")
        sums = [(checksum(Row(*(*values, 0))), values[0]) for values in connection.execute(FROM_1)]
        connection.executemany("UPDATE events SET checksum = ? WHERE number = ?", sums)
        connection.execute("PRAGMA user_version=2")
