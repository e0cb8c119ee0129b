"""The service's small parts: telling systemd, places, one at a time, a sign of life, errors as lines."""

from __future__ import annotations

import logging
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.errors import DeviceError, PlanError, Problem
from kitchend.service.background import plans_folder
from kitchend.service.guard import UseError, attempt, exit_code, log, log_to
from kitchend.service.notify import READY, STOPPING, notify
from kitchend.service.only_one import only_one
from kitchend.service.places import places
from kitchend.service.pulse import FilePulse
from kitchend.service.settings import Settings

NOW = Now(Instant(50.0), WallTime(1e9, 3600))


@pytest.mark.parametrize("address", ["{}/notify", "@kitchend-{}"], ids=["a path", "an abstract name"])
def test_systemd_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, address: str) -> None:
    name = address.format(tmp_path)
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as systemd:
        systemd.bind("\0" + name[1:] if name.startswith("@") else name)
        systemd.settimeout(5)
        monkeypatch.setenv("NOTIFY_SOCKET", name)
        assert notify(READY)
        assert notify(STOPPING)
        assert [systemd.recv(100), systemd.recv(100)] == [b"READY=1", b"STOPPING=1"]


def test_without_systemd_nothing_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NOTIFY_SOCKET", raising=False)
    assert not notify(READY)
    monkeypatch.setenv("NOTIFY_SOCKET", str(tmp_path / "nobody"))
    assert not notify(READY)


def test_places_follow_the_base_directories() -> None:
    # XDG Base Directory Specification 0.8: the defaults below $HOME, and relative paths are ignored.
    home = places({"HOME": "/home/ana"})
    assert str(home.settings) == "/home/ana/.config/kitchend/settings.yaml"
    assert str(home.journal) == "/home/ana/.local/state/kitchend/journal.sqlite3"
    assert str(home.socket) == "/home/ana/.local/state/kitchend/control.sock"
    told = places({"HOME": "/h", "XDG_CONFIG_HOME": "/c", "XDG_STATE_HOME": "/s", "XDG_RUNTIME_DIR": "/r"})
    assert str(told.settings) == "/c/kitchend/settings.yaml"
    assert str(told.journal) == "/s/kitchend/journal.sqlite3"
    assert str(told.socket) == "/r/kitchend/control.sock"
    assert places({"HOME": "/h", "XDG_STATE_HOME": "state"}).journal == places({"HOME": "/h"}).journal


def test_a_second_one_is_refused(tmp_path: Path) -> None:
    journal = tmp_path / "state" / "journal.sqlite3"
    with only_one(journal), pytest.raises(DeviceError, match="already running"), only_one(journal):
        pass
    with only_one(journal):
        pass


HOLDER = """
import sys
from pathlib import Path
from kitchend.service.only_one import only_one
with only_one(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_one_that_was_killed_holds_nothing(tmp_path: Path) -> None:
    journal = tmp_path / "journal.sqlite3"
    command = [sys.executable, "-c", HOLDER, str(journal)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        with pytest.raises(DeviceError, match="already running"), only_one(journal):
            pass
        holder.kill()
        holder.wait()
    with only_one(journal):
        pass


def test_a_sign_of_life_is_kept_about_once_a_minute(tmp_path: Path) -> None:
    pulse = FilePulse(tmp_path / "alive.json")
    assert pulse.last() is None
    for later in (0, 30, 59, 61, 100):
        pulse.beat(NOW.after(later))
    assert FilePulse(tmp_path / "alive.json").last() == NOW.after(61)


def test_a_sign_of_life_that_cannot_be_read_is_none(tmp_path: Path) -> None:
    (tmp_path / "alive.json").write_text("half a")
    assert FilePulse(tmp_path / "alive.json").last() is None
    FilePulse(tmp_path / "no" / "folder" / "alive.json").beat(NOW)


def failing(error: Exception) -> int:
    raise error


PROBLEM = Problem(file="supper.yaml", line=3, column=5, message="what\nis this")
FAILURES = {
    "a plan": (PlanError((PROBLEM, PROBLEM)), 1, ["supper.yaml:3:5: what is this"] * 2),
    "wrong use": (UseError("say when"), 2, ["say when"]),
    "a file": (FileNotFoundError(2, "No such file", "x.wav"), 2, ["[Errno 2] No such file: 'x.wav'"]),
    "a device": (
        DeviceError("microphone", "there is none", "plug one in"),
        3,
        ["microphone: there is none; plug one in"],
    ),
}


@pytest.mark.parametrize(("error", "code", "lines"), FAILURES.values(), ids=FAILURES)
def test_a_failure_is_a_line_and_an_exit_code(error: Exception, code: int, lines: list[str]) -> None:
    told: list[str] = []
    assert exit_code(lambda: failing(error), complain=told.append, doing="try") == code
    assert told == lines


@pytest.fixture
def log_file(tmp_path: Path) -> Path:
    path = tmp_path / "state" / "kitchend.log"
    log_to(path)
    return path


def test_a_bug_is_one_line_and_its_story_is_in_the_log(log_file: Path) -> None:
    told: list[str] = []
    assert not attempt(lambda: failing(KeyError("greens")), complain=told.append, doing="cook")
    assert told == [f"this is a bug, could not cook: KeyError: 'greens'; the whole story is in {log_file}"]
    assert "Traceback" in log_file.read_text()
    assert exit_code(lambda: failing(KeyError("x")), complain=told.append, doing="cook") == 70


def test_the_log_does_not_grow_for_ever(log_file: Path) -> None:
    log_file.parent.mkdir()
    log_file.write_text("x" * 2_000_000)
    log.error("one more")
    assert log_file.stat().st_size < 1000
    assert log_file.with_suffix(".log.old").stat().st_size == 2_000_000


def test_a_log_that_cannot_be_written_is_no_failure(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    log_to(tmp_path / "file" / "kitchend.log")
    log.error("lost")
    assert logging.getLogger("kitchend").propagate is False


def test_ctrl_c_and_a_closed_pipe_are_quiet() -> None:
    told: list[str] = []

    def interrupted() -> int:
        raise KeyboardInterrupt

    assert exit_code(interrupted, complain=told.append, doing="cook") == 130
    assert exit_code(lambda: failing(BrokenPipeError()), complain=told.append, doing="cook") == 0
    assert told == []


def test_plans_lie_where_the_settings_say_or_in_the_usual_folder_or_here(
    own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    usual = own_folders / "config" / "kitchend" / "plans"
    assert plans_folder(Settings(), places()) == usual
    (tmp_path / "plans").mkdir()
    assert plans_folder(Settings(), places()) == tmp_path / "plans"
    usual.mkdir(parents=True)
    assert plans_folder(Settings(), places()) == usual
    monkeypatch.setenv("HOME", "/home/ana")
    assert plans_folder(Settings(plans="~/menus"), places()) == Path("/home/ana/menus")
