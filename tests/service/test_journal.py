"""The journal: one contract for memory and disk, and what only a disk can do: damage, age, power cuts."""

from __future__ import annotations

import os
import signal
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from kitchend.core.clock import Now
from kitchend.core.events import Event, PhraseHeard, Resumed, SpeechEnded
from kitchend.errors import DeviceError
from kitchend.service.journal import VERSION, SqliteJournal, open_journal
from kitchend.service.keeping import json_of, kind_of
from kitchend.service.memory import MemoryJournal
from kitchend.service.ports import Journal
from kitchend.service.retention import KEPT_FILES
from kitchend.service.safe_journal import SafeJournal
from kitchend.service.wall_clock import Boot, Kept
from tests.service.some_events import DINNER, EVENTS, START, WALL


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "state" / "journal.sqlite3"


def opened(path: Path, complaints: list[str] | None = None) -> SqliteJournal:
    heard = complaints if complaints is not None else []
    return open_journal(path, wall=lambda: WALL, complain=heard.append)


@pytest.fixture(params=["memory", "disk", "safe"])
def journal(request: pytest.FixtureRequest, path: Path) -> Iterator[Journal]:
    if request.param == "memory":
        yield MemoryJournal()
    elif request.param == "safe":
        with closing(SafeJournal(lambda: opened(path), pytest.fail)) as safe:
            yield safe
    else:
        with closing(opened(path)) as disk:
            yield disk


def moments() -> list[tuple[Event, Now]]:
    return [(event, START.after(10.25 * number)) for number, event in enumerate(EVENTS)]


def test_a_new_journal_is_empty(journal: Journal) -> None:
    assert list(journal.events()) == []


def test_events_come_back_equal_and_in_order(journal: Journal) -> None:
    for event, now in moments():
        journal.append(event, now)
    assert list(journal.events()) == moments()
    assert list(journal.events()) == moments()


def test_events_of_one_moment_keep_their_order(journal: Journal) -> None:
    for number in range(20):
        journal.append(SpeechEnded(utterance=number), START)
    assert [event for event, _ in journal.events()] == [SpeechEnded(utterance=n) for n in range(20)]


def test_after_finish_the_next_dinner_starts_afresh(journal: Journal) -> None:
    journal.append(Resumed(), START)
    journal.finish(START)
    assert list(journal.events()) == []
    journal.append(SpeechEnded(utterance=1), START)
    assert list(journal.events()) == [(SpeechEnded(utterance=1), START)]


def test_finishing_an_empty_journal_changes_nothing(journal: Journal) -> None:
    journal.finish(START)
    assert list(journal.events()) == []


def test_a_closed_journal_is_there_when_opened_again(path: Path) -> None:
    first = opened(path)
    for event, now in moments():
        first.append(event, now)
    first.close()
    second = opened(path)
    assert list(second.events()) == moments()
    second.close()


def test_a_finished_dinner_stays_under_its_date(path: Path) -> None:
    journal = opened(path)
    for _ in range(2):
        journal.append(DINNER, START)
        journal.finish(START)
    journal.close()
    names = sorted(file.name for file in path.parent.iterdir())
    # WALL is 28 May 2026, 20:26:40 in UTC (date -u -d @1780000000), two hours later in its own zone.
    assert names == [
        "2026-05-28-222640-dinner-2.sqlite3",
        "2026-05-28-222640-dinner.sqlite3",
        "journal.sqlite3",
    ]
    kept = SqliteJournal(path.parent / "2026-05-28-222640-dinner.sqlite3")
    assert list(kept.events()) == [(DINNER, START)]
    kept.close()


def test_what_was_no_dinner_is_dropped(path: Path) -> None:
    journal = opened(path)
    journal.append(Resumed(), START)
    journal.finish(START)
    journal.close()
    assert [file.name for file in path.parent.iterdir()] == ["journal.sqlite3"]


def test_what_is_dropped_is_in_none_of_its_files_any_more(path: Path) -> None:
    with closing(opened(path)) as journal:
        journal.append(PhraseHeard(text="a zabaglione", started=START.instant), START)
        assert b"zabaglione" in b"".join(file.read_bytes() for file in path.parent.iterdir())
        journal.finish(START)
        assert b"zabaglione" not in b"".join(file.read_bytes() for file in path.parent.iterdir())
        journal.append(SpeechEnded(utterance=1), START)
        assert list(journal.events()) == [(SpeechEnded(utterance=1), START)]


def test_old_dinners_go_when_there_are_many(path: Path) -> None:
    journal = open_journal(path, wall=lambda: WALL, complain=pytest.fail, keep_days=1000)
    for number in range(KEPT_FILES + 3):
        now = START.after(86_400 * number)
        journal.append(DINNER, now)
        journal.finish(now)
    journal.close()
    dinners = sorted(path.parent.glob("*-dinner*"))
    assert len(dinners) == KEPT_FILES
    assert dinners[0].name == "2026-05-31-222640-dinner.sqlite3"


@pytest.mark.parametrize(("days", "kept"), [(30, 30), (7, 7), (0, 0)])
def test_what_was_said_goes_after_so_many_days(path: Path, days: int, kept: int) -> None:
    journal = open_journal(path, wall=lambda: WALL, complain=pytest.fail, keep_days=days)
    for number in range(40):
        now = START.after(86_400 * number)
        journal.append(DINNER, now)
        journal.finish(now)
    journal.close()
    assert len(list(path.parent.glob("*-dinner*"))) == kept
    later = WALL + 86_400 * 80
    open_journal(path, wall=lambda: later, complain=pytest.fail, keep_days=days).close()
    assert list(path.parent.glob("*-dinner*")) == []


def test_the_last_moment_tells_how_its_instant_was_made(path: Path) -> None:
    journal = opened(path)
    assert journal.last() is None
    journal.begin_run(Boot(id="first", shift_s=0.0))
    journal.append(Resumed(), START)
    journal.begin_run(Boot(id="second", shift_s=-12.5))
    assert journal.last() == Kept(now=START, boot=Boot(id="first", shift_s=0.0))
    journal.append(Resumed(), START.after(5))
    assert journal.last() == Kept(now=START.after(5), boot=Boot(id="second", shift_s=-12.5))
    journal.finish(START)
    journal.append(Resumed(), START.after(9))
    assert journal.last() == Kept(now=START.after(9), boot=Boot(id="second", shift_s=-12.5))
    journal.close()


def test_only_its_owner_may_read_it(path: Path) -> None:
    opened(path).close()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_it_is_kept_as_sqlite_means_it_to_be_safe(path: Path) -> None:
    # FULL, 2, syncs after every transaction in WAL mode: sqlite.org/pragma.html under "synchronous".
    journal = opened(path)
    connection = journal._connection
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert connection.execute("PRAGMA synchronous").fetchone() == (2,)
    journal.close()


def make_newer(path: Path) -> None:
    opened(path).close()
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version={VERSION + 1}")
    connection.close()


def test_a_newer_journal_is_refused_and_left_alone(path: Path) -> None:
    make_newer(path)
    before = path.read_bytes()
    with pytest.raises(DeviceError, match="newer kitchend"):
        opened(path)
    assert path.read_bytes() == before


def half_of(path: Path) -> None:
    journal = opened(path)
    for event, now in moments() * 20:
        journal.append(event, now)
    journal.close()
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])


def with_an_unknown_event(path: Path) -> None:
    journal = opened(path)
    journal.append(Resumed(), START)
    journal.close()
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("UPDATE events SET kind='Banana'")
    connection.close()


def with_a_hole(path: Path) -> None:
    opened(path).close()
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("DROP TABLE events")
    connection.close()


def that_is_text(path: Path) -> None:
    path.parent.mkdir(parents=True)
    path.write_text("once upon a time there was a database " * 100)


@pytest.mark.parametrize("damage", [half_of, with_an_unknown_event, with_a_hole, that_is_text])
def test_a_damaged_journal_is_set_aside_with_one_line(path: Path, damage: Callable[[Path], None]) -> None:
    damage(path)
    complaints: list[str] = []
    journal = opened(path, complaints)
    assert journal.was_damaged
    kept = list(journal.events())
    rest = iter(moments() * 20)
    assert all(event in rest for event in kept), "what is kept is what was written, in its order"
    assert bool(kept) == (damage is half_of)
    journal.append(Resumed(), START)
    assert list(journal.events()) == [*kept, (Resumed(), START)]
    journal.close()
    assert len(complaints) == 1
    assert f"{len(kept)} events are kept" in complaints[0]
    assert "2026-05-28-222640-damaged.sqlite3" in complaints[0]
    assert "\n" not in complaints[0]
    assert (path.parent / "2026-05-28-222640-damaged.sqlite3").exists()


def test_a_folder_that_cannot_be_made_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("a file, not a folder")
    with pytest.raises(DeviceError, match="journal"):
        opened(tmp_path / "state" / "journal.sqlite3")


def test_a_journal_that_is_a_folder_is_one_line(path: Path) -> None:
    path.mkdir(parents=True)
    with pytest.raises(DeviceError, match="journal"):
        opened(path)


WRITER = """
import sys
from pathlib import Path
from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.events import SpeechEnded
from kitchend.service.keeping import json_of, kind_of
from kitchend.service.journal import open_journal
journal = open_journal(Path(sys.argv[1]), wall=lambda: WallTime(0.0), complain=print)
for number in range(1_000_000):
    journal.append(SpeechEnded(utterance=number), Now(Instant(number), WallTime(number)))
    print(number, flush=True)
"""


@pytest.mark.parametrize("after", [0, 7, 40])
def test_what_was_kept_survives_a_kill(path: Path, after: int) -> None:
    with subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        for _ in range(after + 1):
            writer.stdout.readline()
        os.kill(writer.pid, signal.SIGKILL)
    complaints: list[str] = []
    journal = opened(path, complaints)
    events = [event for event, _ in journal.events()]
    journal.close()
    assert complaints == []
    assert len(events) > after
    assert events == [SpeechEnded(utterance=number) for number in range(len(events))]


def test_a_full_disk_is_one_line_and_what_was_kept_stays(path: Path) -> None:
    journal = opened(path)
    journal.append(DINNER, START)
    pages = journal._connection.execute("PRAGMA page_count").fetchone()[0]
    journal._connection.execute(f"PRAGMA max_page_count={pages}").close()

    def fill() -> None:
        for _ in range(1000):
            journal.append(DINNER, START)

    with pytest.raises(DeviceError, match="database or disk is full"):
        fill()
    kept = len(list(journal.events()))
    journal._connection.execute("PRAGMA max_page_count=100000").close()
    journal.append(Resumed(), START)
    assert len(list(journal.events())) == kept + 1
    journal.close()


OLD_TABLES = """
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
PRAGMA user_version=1;
"""
"""The tables as the first version made them."""


def an_old_journal(path: Path) -> None:
    path.parent.mkdir(parents=True)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.executescript(OLD_TABLES)
        connection.execute("INSERT INTO runs (boot, shift_s) VALUES ('first', -12.5)")
        for event, now in moments():
            row = (1, now.instant.s, now.wall.epoch_s, now.wall.offset_s, kind_of(event), json_of(event))
            columns = "run, instant_s, wall_s, offset_s, kind, event"
            connection.execute(f"INSERT INTO events ({columns}) VALUES (?, ?, ?, ?, ?, ?)", row)


def test_an_older_journal_is_brought_up_to_date_and_loses_nothing(path: Path) -> None:
    an_old_journal(path)
    complaints: list[str] = []
    for _ in range(2):
        journal = opened(path, complaints)
        assert list(journal.events()) == moments()
        kept = journal.last()
        assert kept is not None
        assert kept.boot == Boot(id="first", shift_s=-12.5)
        assert journal._connection.execute("PRAGMA user_version").fetchone() == (VERSION,)
        journal.close()
    assert complaints == []


def a_long_journal(path: Path) -> list[tuple[Event, Now]]:
    journal = opened(path)
    journal.begin_run(Boot(id="first", shift_s=3.5))
    kept = moments() * 12
    journal.append_all(kept)
    journal.close()
    return kept


def test_a_row_of_no_known_run_is_missed(path: Path) -> None:
    """Read together with its run it would be left out without a word."""
    written = a_long_journal(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE events SET run = 99 WHERE number = 3")
    complaints: list[str] = []
    journal = opened(path, complaints)
    assert list(journal.events()) == [*written[:2], *written[3:]]
    assert (journal.was_damaged, len(complaints)) == (True, 1)
    journal.close()


@pytest.mark.parametrize("seed", range(30))
def test_a_flipped_byte_costs_what_it_hit_and_no_more(path: Path, seed: int) -> None:
    written = a_long_journal(path)
    raw = bytearray(path.read_bytes())
    place = Random(seed).randrange(len(raw))
    raw[place] ^= 1 << Random(seed).randrange(8)
    path.write_bytes(raw)
    complaints: list[str] = []
    journal = opened(path, complaints)
    kept = list(journal.events())
    journal.append(Resumed(), START)
    journal.close()
    rest = iter(written)
    assert all(event in rest for event in kept), "what is kept is what was written, in its order"
    assert (kept == written) or (journal.was_damaged and len(complaints) == 1)
    page = 4096
    if place >= 3 * page:
        # Past the first pages, which say where all others are, a page holds a few events at most.
        assert len(kept) >= len(written) / 2


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.999])
def test_a_cut_off_journal_keeps_what_is_left_of_it(path: Path, share: float) -> None:
    written = a_long_journal(path)
    raw = path.read_bytes()
    path.write_bytes(raw[: int(len(raw) * share)])
    complaints: list[str] = []
    journal = opened(path, complaints)
    kept = list(journal.events())
    journal.close()
    rest = iter(written)
    assert all(event in rest for event in kept)
    assert len(kept) >= (len(written) * (share - 0.3))
    assert len(complaints) == (1 if share else 0)


@pytest.mark.parametrize("seed", range(10))
def test_a_broken_log_is_noticed_though_the_database_would_leave_it_out_unsaid(path: Path, seed: int) -> None:
    journal = opened(path)
    written = moments()
    for event, now in written:
        journal.append(event, now)
    log = path.with_name(path.name + "-wal")
    held = {file: file.read_bytes() for file in (path, log)}
    journal.close()
    raw = bytearray(held[log])
    raw[Random(seed).randrange(40, len(raw) * 3 // 4)] ^= 0x10
    path.write_bytes(held[path])
    log.write_bytes(raw)
    complaints: list[str] = []
    journal = opened(path, complaints)
    kept = list(journal.events())
    journal.close()
    assert len(complaints) == 1
    assert kept == written[: len(kept)]
    assert (path.parent / "2026-05-28-222640-damaged.sqlite3").exists()


def test_a_log_that_merely_ends_early_is_no_damage(path: Path) -> None:
    journal = opened(path)
    for event, now in moments():
        journal.append(event, now)
    log = path.with_name(path.name + "-wal")
    held = {path: path.read_bytes(), log: log.read_bytes()}
    journal.close()
    path.write_bytes(held[path])
    log.write_bytes(held[log][:-100])
    complaints: list[str] = []
    journal = opened(path, complaints)
    kept = list(journal.events())
    journal.close()
    assert complaints == []
    assert kept == moments()[:-1]
