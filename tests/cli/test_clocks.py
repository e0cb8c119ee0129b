"""`kitchend run` while the clock is set, summer time comes and goes, the machine sleeps, the power goes.

The real process under libfaketime: what the wall shows is moved by a file, running time is left alone.
"""

from __future__ import annotations

import json
import re
import signal
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from platform import machine
from threading import Event
from typing import Any

import pytest

from kitchend.service.salvage import COLUMNS, Row, checksum
from tests.cli.process import done, kitchend
from tests.cli.test_cook import LONG

pytestmark = pytest.mark.slow

LIBRARY = Path("/usr/lib") / f"{machine()}-linux-gnu" / "faketime" / "libfaketimeMT.so.1"
HOUR = 3600
NUMBERS = "zero one two three four five six seven eight nine ten eleven twelve thirteen".split()


class Wall:
    """The clock on the wall as the process sees it."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self.ahead(0)

    def ahead(self, seconds: float) -> None:
        """From now on it is so far ahead of the real one."""
        fresh = self._file.with_suffix(".new")
        fresh.write_text(f"{seconds:+.0f}\n")
        fresh.replace(self._file)

    def show(self, moment: datetime) -> None:
        """From now on it runs on from this moment."""
        self.ahead((moment - datetime.now(UTC)).total_seconds())


@pytest.fixture
def wall(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Wall:
    if not LIBRARY.exists():
        pytest.skip(f"NO FAKE TIME: {LIBRARY} is missing (apt-get install faketime)")
    wall = Wall(own_folders / "faketime")
    monkeypatch.setenv("LD_PRELOAD", str(LIBRARY))
    monkeypatch.setenv("FAKETIME_TIMESTAMP_FILE", str(own_folders / "faketime"))
    monkeypatch.setenv("FAKETIME_NO_CACHE", "1")
    monkeypatch.setenv("FAKETIME_DONT_FAKE_MONOTONIC", "1")
    monkeypatch.setenv("TZ", "UTC")
    return wall


@pytest.fixture(autouse=True)
def plans(own_folders: Path) -> None:
    (own_folders / "plans").mkdir()
    (own_folders / "plans" / "long.yaml").write_text(LONG)
    settings = own_folders / "config" / "kitchend" / "settings.yaml"
    settings.parent.mkdir(parents=True)
    settings.write_text(f"plans: {own_folders / 'plans'}\n")


def told(words: str) -> str:
    answer = done("tell", words)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout


def status() -> dict[str, Any]:
    shape: dict[str, Any] = json.loads(done("status", "--json").stdout)
    return shape


def pass_shown() -> str:
    """The time of day of the pass, as people read it."""
    return datetime.fromisoformat(status()["serve"]).strftime("%H:%M")


@pytest.mark.parametrize(
    ("by_s", "how"),
    [
        (3 * HOUR, "three hours forward"),
        (-3 * HOUR, "three hours back"),
        (365 * 24 * HOUR, "three hundred and sixty five days forward"),
    ],
    ids=["three hours on", "three hours back", "a year"],
)
def test_a_timer_keeps_to_running_time_and_the_pass_to_the_wall(wall: Wall, by_s: float, how: str) -> None:
    wall.show(datetime(2026, 5, 1, 12, 0, tzinfo=UTC))
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper for half past seven")
        told("time the eggs for twelve seconds")
        left_s = status()["timers"][0]["left_s"]
        wall.show(datetime.fromtimestamp(datetime(2026, 5, 1, 12, 0, tzinfo=UTC).timestamp() + by_s, UTC))
        service.wait_for(f"The clock went {how}. The pass stays at half past seven")
        assert pass_shown() == "19:30"
        assert status()["timers"][0]["left_s"] <= left_s
        service.wait_for("Eggs: time is up.")
        assert sum("The clock went" in line for line in service.lines) == 1
        assert service.end() == 0
        assert "Traceback" not in service.told


@pytest.mark.parametrize(
    ("change", "how"),
    [
        (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), "an hour forward"),
        (datetime(2026, 10, 25, 1, 0, tzinfo=UTC), "an hour back"),
    ],
    ids=["summer time begins", "summer time ends"],
)
def test_the_pass_keeps_its_time_of_day_when_summer_time_begins_or_ends(
    wall: Wall, monkeypatch: pytest.MonkeyPatch, change: datetime, how: str
) -> None:
    # The European Union changes at 01:00 UTC on the last Sundays of March and October: Directive 2000/84/EC.
    monkeypatch.setenv("TZ", "Europe/Berlin")
    wall.show(datetime.fromtimestamp(change.timestamp() - 25, UTC))
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper for five o'clock")
        told("time the eggs for thirty seconds")
        assert pass_shown() == "05:00"
        service.wait_for(f"The clock went {how}")
        assert pass_shown() == "05:00"
        service.wait_for("Eggs: time is up.")
        assert service.end() == 0


def test_what_fell_due_while_the_machine_slept_rings_at_once_in_order_and_merged() -> None:
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        for name, seconds in (("figs", "nine"), ("eggs", "seven"), ("buns", "eight")):
            told(f"time the {name} for {seconds} seconds")
        service.child.send_signal(signal.SIGSTOP)
        Event().wait(13)
        service.child.send_signal(signal.SIGCONT)
        line = service.wait_for("ago.")
        called = re.findall(r"the (\w+) (\w+) seconds? ago", line)
        assert sorted(name.lower() for name, _ in called) == ["buns", "eggs", "figs"], line
        late = [NUMBERS.index(number) for _, number in called]
        assert late == sorted(late, reverse=True), line
        assert service.end() == 0


def start_the_board_anew(folder: Path) -> None:
    """Make the journal one that another start of the board wrote, and that only."""
    for snapshot in (folder / "state" / "kitchend").glob("snapshot*"):
        snapshot.unlink()
    (folder / "state" / "kitchend" / "alive.json").unlink(missing_ok=True)
    with closing(sqlite3.connect(folder / "state" / "kitchend" / "journal.sqlite3")) as journal, journal:
        journal.execute("UPDATE runs SET boot = 'another start'")
        query = f"SELECT {COLUMNS} FROM events JOIN runs ON runs.id = events.run"
        for values in journal.execute(query).fetchall():
            row = Row(*values)
            journal.execute("UPDATE events SET checksum = ? WHERE number = ?", (checksum(row), row.number))


@pytest.mark.parametrize("who_knows", ["the cook", "the network"])
def test_after_a_power_cut_with_a_wrong_clock_it_says_so_and_asks(
    wall: Wall, own_folders: Path, who_knows: str
) -> None:
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("time the eggs for twenty minutes")
        service.child.kill()
    start_the_board_anew(own_folders)
    wall.ahead(-3 * HOUR)
    with kitchend("run") as service:
        line = service.wait_for("I am back, and cannot tell how long I was away. Check what is on.")
        assert "How long was it?" in line
        assert 1150 < status()["timers"][0]["left_s"] <= 1200
        if who_knows == "the cook":
            assert "So I was away for four minutes." in told("you were away for four minutes")
        else:
            wall.ahead(240)
            service.wait_for("So I was away for ")
        assert 800 < status()["timers"][0]["left_s"] <= 960
        assert service.end() == 0
        assert "Traceback" not in service.told
