"""`kitchend run` on a disk that is full, read-only or damaged: it comes up, says so, and does its work."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.process import Process, done, kitchend
from tests.cli.test_cook import LONG
from tests.service.disks import Disk, small_disk

pytestmark = pytest.mark.slow


@pytest.fixture
def disk(own_folders: Path) -> Iterator[Disk]:
    """Where kitchend keeps its state."""
    (own_folders / "plans").mkdir()
    (own_folders / "plans" / "long.yaml").write_text(LONG)
    settings = own_folders / "config" / "kitchend" / "settings.yaml"
    settings.parent.mkdir(parents=True)
    settings.write_text(f"plans: {own_folders / 'plans'}\n")
    with small_disk(own_folders / "state") as disk:
        yield disk


def told(*words: str) -> str:
    answer = done("tell", *words)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout


def works(service: Process) -> None:
    service.wait_for("ready, 1 plan")
    told("time the eggs for two seconds")
    service.wait_for("Eggs: time is up.")
    told("heard")
    assert "Long supper." in told("cook the long supper")
    assert "Traceback" not in service.told


@pytest.mark.parametrize("is_full", [True, False], ids=["full", "read-only"])
def test_a_disk_that_takes_nothing_is_told_and_the_service_works(disk: Disk, is_full: bool) -> None:
    if is_full:
        disk.fill()
    else:
        disk.let_write(False)
    with kitchend("run") as service:
        service.wait_for("I cannot keep the journal.")
        works(service)
        assert sum("journal" in line for line in service.errors) == 1
        assert service.end() == 0


def test_a_disk_that_fills_up_in_mid_dinner_is_told_and_what_was_kept_is_carried_on(disk: Disk) -> None:
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper")
        told("beans are on")
        disk.fill()
        for number in range(60):
            if service.has_come("I cannot keep the journal.", 0.0):
                break
            told(f"time the eggs for {number + 2} minutes")
        service.wait_for("I cannot keep the journal.")
        service.child.kill()
    disk.make_room()
    with kitchend("run") as service:
        service.wait_for("I am back")
        assert "simmer the beans" in done("status").stdout
        assert service.end() == 0


@pytest.mark.parametrize("is_killed", [False, True], ids=["ended", "killed later"])
def test_what_was_said_while_the_disk_was_full_outlives_a_restart_once_there_is_room(
    disk: Disk, is_killed: bool
) -> None:
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("time the eggs for forty minutes")
        disk.fill()
        numbers = range(2, 60)
        for number in numbers:
            told(f"time the egg {number} for forty minutes")
            if service.has_come("I cannot keep the journal.", 0.0):
                break
        told("time the bread for fifty minutes")
        disk.make_room()
        if is_killed:
            # Nothing is said meanwhile: it finds by itself that there is room.
            service.wait_for("The journal is kept again.")
            service.child.kill()
        else:
            assert service.end() == 0
    with kitchend("run") as service:
        service.wait_for("I am back")
        names = {timer["name"] for timer in json.loads(done("status", "--json").stdout)["timers"]}
        assert {"eggs", "bread"} < names
        assert service.end() == 0


def a_dinner_is_cut_off() -> None:
    """Killed with a step and a timer of the cook's own on."""
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper")
        told("beans are on")
        told("time the eggs for twenty minutes")
        service.child.kill()


def damage(path: Path) -> None:
    """One bit of the kind of one event becomes another."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()
    raw = bytearray(path.read_bytes())
    place = raw.index(b"PlansKnown")
    raw[place] ^= 0x01
    path.write_bytes(raw)


def test_a_damaged_journal_is_told_and_what_can_be_read_of_it_is_carried_on(disk: Disk) -> None:
    path = disk.path / "kitchend" / "journal.sqlite3"
    a_dinner_is_cut_off()
    damage(path)
    with kitchend("run") as service:
        service.wait_for("The journal was damaged; I use what I can read. Check what is on.")
        shown = done("status").stdout
        assert "simmer the beans" in shown
        assert "eggs" in shown
        assert service.end() == 0
        assert "Traceback" not in service.told
    assert len(list(path.parent.glob("20??-??-??-??????-damaged.sqlite3"))) == 1
    with kitchend("run") as service:
        service.wait_for("I am back")
        assert not service.has_come("damaged", 1.0)


def cut_off(path: Path) -> None:
    """The second half of the file is gone, and its log with it."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()
    os.truncate(path, path.stat().st_size // 2)


def scribbled_on(path: Path) -> None:
    """Not a word of it can be read."""
    path.with_name(path.name + "-wal").unlink(missing_ok=True)
    path.write_bytes(b"once upon a time " * 2000)


def emptied(path: Path) -> None:
    """The file is there, and nothing is in it."""
    path.with_name(path.name + "-wal").unlink(missing_ok=True)
    path.write_bytes(b"")


def hole_in_the_log(path: Path) -> None:
    """A byte in the middle of what has not reached the file itself."""
    log = path.with_name(path.name + "-wal")
    raw = bytearray(log.read_bytes())
    raw[len(raw) // 2] ^= 0xFF
    log.write_bytes(raw)


@pytest.mark.parametrize("spoil", [cut_off, scribbled_on, hole_in_the_log])
def test_whatever_befell_the_journal_it_is_told_set_aside_and_gone_on_from(
    disk: Disk, spoil: Callable[[Path], None]
) -> None:
    path = disk.path / "kitchend" / "journal.sqlite3"
    a_dinner_is_cut_off()
    for snapshot in path.parent.glob("snapshot*"):
        snapshot.unlink()
    spoil(path)
    with kitchend("run") as service:
        service.wait_for("The journal was damaged; I use what I can read. Check what is on.")
        told("beans are on")  # else their call may come back just then, and say both in one sentence
        told("time the bread for two seconds")
        service.wait_for("Bread: time is up.")
        assert len([line for line in service.errors if "is damaged" in line]) == 1
        assert service.end() == 0
        assert "Traceback" not in service.told
    assert len(list(path.parent.glob("20??-??-??-??????-damaged.sqlite3"))) == 1


def test_an_empty_file_in_place_of_the_journal_is_begun_anew_without_a_word(disk: Disk) -> None:
    path = disk.path / "kitchend" / "journal.sqlite3"
    path.parent.mkdir(parents=True)
    emptied(path)
    with kitchend("run") as service:
        works(service)
        assert service.end() == 0
        assert not any("journal" in line for line in service.errors)


def test_a_dinner_of_an_older_kitchend_is_carried_on(disk: Disk) -> None:
    path = disk.path / "kitchend" / "journal.sqlite3"
    a_dinner_is_cut_off()
    for snapshot in path.parent.glob("snapshot*"):
        snapshot.unlink()
    with closing(sqlite3.connect(path)) as connection:
        # Version 1 had no checksums.
        connection.executescript("ALTER TABLE events DROP COLUMN checksum; PRAGMA user_version=1;")
    with kitchend("run") as service:
        service.wait_for("I am back")
        shown = done("status").stdout
        assert "simmer the beans" in shown
        assert "eggs" in shown
        assert service.end() == 0
        assert not any("journal" in line for line in service.errors)


def test_a_journal_of_a_newer_kitchend_is_refused_with_what_to_do(own_folders: Path) -> None:
    path = own_folders / "state" / "kitchend" / "journal.sqlite3"
    path.parent.mkdir(parents=True)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version=99")
    refused = done("run")
    assert refused.returncode == 3
    assert refused.stderr.startswith("kitchend: journal: ")
    assert "newer kitchend" in refused.stderr
    assert "upgrade kitchend" in refused.stderr
    assert len(refused.stderr.splitlines()) == 1
