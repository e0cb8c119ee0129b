"""A journal whose disk fills up, is read-only, or breaks: nothing is lost while it runs, all is told once."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from kitchend.core.clock import Now
from kitchend.core.events import DinnerStarted, Event, Mishap, SpeechEnded
from kitchend.service.journal import NewerJournalError, SqliteJournal, open_journal
from kitchend.service.pulse import FilePulse
from kitchend.service.safe_journal import RETRY_S, CatchingUp, SafeJournal
from kitchend.service.wall_clock import Boot
from tests.service.disks import Disk, small_disk
from tests.service.some_events import DINNER, START, WALL

LATER_S = RETRY_S + 1


class Told:
    """What was complained about and what the dinner was told."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.mishaps: list[Mishap] = []


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Disk]:
    with small_disk(tmp_path / "disk") as disk:
        yield disk


def safe(path: Path, told: Told) -> SafeJournal:
    journal = SafeJournal(lambda: on_disk(path, told), told.lines.append)
    journal.tell(told.mishaps.append)
    journal.begin_run(Boot(id="here"))
    return journal


def on_disk(path: Path, told: Told) -> SqliteJournal:
    return open_journal(path, wall=lambda: WALL, complain=told.lines.append)


def numbered(count: int) -> list[tuple[Event, Now]]:
    return [(SpeechEnded(utterance=number), START.after(number)) for number in range(count)]


def kept(path: Path) -> list[tuple[Event, Now]]:
    with closing(open_journal(path, wall=lambda: WALL, complain=pytest.fail)) as journal:
        return list(journal.events())


def test_a_full_disk_is_told_once_and_all_is_written_once_there_is_room(disk: Disk, told: Told) -> None:
    path = disk.path / "journal.sqlite3"
    journal = safe(path, told)
    events = numbered(300)
    for event, now in events[:20]:
        journal.append(event, now)
    disk.fill()
    for event, now in events[20:]:
        journal.append(event, now)
    assert told.mishaps == [Mishap.NOT_KEPT]
    assert len(told.lines) == 1
    assert "full" in told.lines[0]
    assert list(journal.events()) == events
    disk.make_room()
    journal.append(DINNER, START.after(300 + LATER_S))
    journal.close()
    assert told.mishaps == [Mishap.NOT_KEPT, Mishap.KEPT_AGAIN]
    assert kept(path) == [*events, (DINNER, START.after(300 + LATER_S))]


def filled_up(disk: Disk, told: Told) -> tuple[SafeJournal, list[tuple[Event, Now]]]:
    """A journal of which the last events are in memory alone, and all of them."""
    journal = safe(disk.path / "journal.sqlite3", told)
    events = numbered(300)
    journal.append(*events[0])
    disk.fill()
    for event, now in events[1:]:
        journal.append(event, now)
    assert told.mishaps == [Mishap.NOT_KEPT]
    return journal, events


def test_once_there_is_room_it_needs_no_event_to_be_written(disk: Disk, told: Told) -> None:
    journal, events = filled_up(disk, told)
    pulse = CatchingUp(FilePulse(disk.path.with_name("alive")), journal)
    pulse.beat(START.after(301))
    disk.make_room()
    pulse.beat(START.after(302))
    assert told.mishaps == [Mishap.NOT_KEPT]
    pulse.beat(START.after(301 + LATER_S))
    assert told.mishaps == [Mishap.NOT_KEPT, Mishap.KEPT_AGAIN]
    # As after a power cut: nobody closed the first one.
    copy = shutil.copytree(disk.path, disk.path.with_name("copy"))
    assert kept(copy / "journal.sqlite3") == events
    assert pulse.last() is not None
    journal.close()


def test_what_is_in_memory_alone_is_written_at_the_end_if_there_is_room_by_then(
    disk: Disk, told: Told
) -> None:
    journal, events = filled_up(disk, told)
    disk.make_room()
    journal.close()
    assert kept(disk.path / "journal.sqlite3") == events


def test_it_ends_without_a_word_more_on_a_disk_that_is_still_full(disk: Disk, told: Told) -> None:
    journal, events = filled_up(disk, told)
    journal.close()
    assert (len(told.lines), told.mishaps) == (1, [Mishap.NOT_KEPT])
    disk.make_room()
    on_disk_now = kept(disk.path / "journal.sqlite3")
    assert on_disk_now == events[: len(on_disk_now)]
    assert on_disk_now


@pytest.mark.parametrize("is_new", [True, False], ids=["nothing there", "a journal there"])
def test_a_disk_that_cannot_be_written_at_the_start_is_told_and_memory_serves(
    disk: Disk, told: Told, is_new: bool
) -> None:
    path = disk.path / "state" / "journal.sqlite3"
    if not is_new:
        on_disk(path, told).close()
    disk.let_write(False)
    journal = safe(path, told)
    for event, now in numbered(5):
        journal.append(event, now)
    assert told.mishaps == [Mishap.NOT_KEPT]
    assert list(journal.events()) == numbered(5)
    disk.let_write(True)
    journal.append(DINNER, START.after(LATER_S + 5))
    journal.close()
    assert told.mishaps == [Mishap.NOT_KEPT, Mishap.KEPT_AGAIN]
    assert kept(path) == [*numbered(5), (DINNER, START.after(LATER_S + 5))]


def test_a_disk_that_becomes_read_only_is_told_once(disk: Disk, told: Told) -> None:
    path = disk.path / "journal.sqlite3"
    journal = safe(path, told)
    journal.append(DINNER, START)
    # A mount that is being written to cannot be made read-only; the pragma refuses in the same way.
    assert journal._disk is not None
    journal._disk._connection.execute("PRAGMA query_only=ON").close()
    for event, now in numbered(5):
        journal.append(event, now)
    assert told.mishaps == [Mishap.NOT_KEPT]
    journal._disk._connection.execute("PRAGMA query_only=OFF").close()
    journal.append(SpeechEnded(utterance=9), START.after(LATER_S + 5))
    journal.close()
    assert told.mishaps == [Mishap.NOT_KEPT, Mishap.KEPT_AGAIN]
    assert kept(path) == [(DINNER, START), *numbered(5), (SpeechEnded(utterance=9), START.after(LATER_S + 5))]


def test_a_dinner_that_ends_while_the_disk_is_full_is_put_away_once_there_is_room(
    disk: Disk, told: Told
) -> None:
    path = disk.path / "journal.sqlite3"
    journal = safe(path, told)
    journal.append(DINNER, START)
    disk.fill()
    for event, now in numbered(300):
        journal.append(event, now)
    journal.finish(START.after(301))
    journal.append(SpeechEnded(utterance=1), START.after(302))
    assert list(journal.events()) == [(SpeechEnded(utterance=1), START.after(302))]
    disk.make_room()
    journal.append(SpeechEnded(utterance=2), START.after(302 + LATER_S))
    journal.close()
    assert [event for event, _ in kept(path)] == [SpeechEnded(utterance=1), SpeechEnded(utterance=2)]
    aside = next(disk.path.glob("*-dinner.sqlite3"))
    assert isinstance(kept(aside)[0][0], DinnerStarted)


def test_a_file_that_breaks_while_it_runs_is_set_aside_and_its_readable_part_kept(
    tmp_path: Path, told: Told
) -> None:
    path = tmp_path / "journal.sqlite3"
    journal = safe(path, told)
    events = numbered(2000)
    assert journal._disk is not None
    journal._disk.append_all(events)
    journal._disk._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()
    raw = bytearray(path.read_bytes())
    raw[-4096 * 3 :] = b"\xff" * (4096 * 3)
    path.write_bytes(raw)
    journal._disk._connection.execute("PRAGMA cache_size=0").close()
    for number in range(40):
        journal.append(DINNER, START.after(3000 + number))
    got = list(journal.events())
    journal.close()
    assert Mishap.DAMAGED in told.mishaps
    assert got[-40:] == [(DINNER, START.after(3000 + number)) for number in range(40)]
    assert len(got) > 1500
    assert list(tmp_path.glob("*-damaged.sqlite3"))


def test_a_damaged_journal_at_the_start_is_told_even_to_who_listens_late(tmp_path: Path, told: Told) -> None:
    path = tmp_path / "journal.sqlite3"
    path.write_text("once upon a time " * 500)
    with closing(SafeJournal(lambda: on_disk(path, told), told.lines.append)) as journal:
        journal.tell(told.mishaps.append)
        assert told.mishaps == [Mishap.DAMAGED]
        assert journal.last() is None


def test_whether_all_is_kept_is_known_after_one_more_try(disk: Disk, told: Told) -> None:
    with closing(safe(disk.path / "state" / "journal.sqlite3", told)) as journal:
        journal.append(DINNER, START)
        assert journal.is_whole()
        disk.fill()
        for number in range(300):
            journal.append(SpeechEnded(utterance=number), START.after(number))
        assert not journal.is_whole()
        disk.make_room()
        assert journal.is_whole()


def test_a_newer_journal_is_refused_before_anything_is_on(tmp_path: Path, told: Told) -> None:
    path = tmp_path / "journal.sqlite3"
    on_disk(path, told).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version=99")
    with pytest.raises(NewerJournalError, match="upgrade kitchend"):
        safe(path, told)
    assert told.mishaps == []


def test_a_dinner_found_late_on_the_disk_is_put_away_not_mixed_with_this_one(disk: Disk, told: Told) -> None:
    path = disk.path / "state" / "journal.sqlite3"
    old = on_disk(path, told)
    old.append(DINNER, START)
    old.close()
    disk.let_write(False)
    journal = safe(path, told)
    journal.append(SpeechEnded(utterance=1), START.after(50))
    disk.let_write(True)
    journal.append(SpeechEnded(utterance=2), START.after(50 + LATER_S))
    journal.close()
    assert [event for event, _ in kept(path)] == [SpeechEnded(utterance=1), SpeechEnded(utterance=2)]
    assert len(list(path.parent.glob("*-dinner.sqlite3"))) == 1
