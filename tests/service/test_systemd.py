"""The units as systemd itself judges them, and what the service tells it while it runs."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.dinner import begin, step
from kitchend.core.events import PhraseHeard
from kitchend.service.pulse import FilePulse
from kitchend.service.runner import Stepped
from kitchend.service.watchdog import SIGN, StatusLine, WatchedPulse

ROOT = Path(__file__).parents[2]
SYSTEM = ROOT / "systemd" / "kitchend.service"
USER = ROOT / "systemd" / "user" / "kitchend.service"
NOW = Now(Instant(50.0), WallTime(1e9, 3600))
EXPOSED_AT_MOST = 2.0


def analyze(*arguments: str) -> subprocess.CompletedProcess[str]:
    if shutil.which("systemd-analyze") is None:
        pytest.skip("systemd-analyze is not there: apt-get install systemd")
    return subprocess.run(
        ["systemd-analyze", *arguments], capture_output=True, text=True, timeout=60, check=False
    )


@pytest.mark.parametrize("unit", [SYSTEM, USER], ids=["of the system", "of a user"])
def test_the_unit_has_nothing_that_systemd_would_remark_on(unit: Path, tmp_path: Path) -> None:
    lines = unit.read_text().splitlines()
    # What is started is not installed here; everything else is judged as it stands.
    here = [f"ExecStart={sys.executable} run" if line.startswith("ExecStart=") else line for line in lines]
    placed = tmp_path / unit.name
    placed.write_text("\n".join(here) + "\n")
    whose = ["--user"] if unit == USER else []
    answer = analyze("verify", "--man=no", *whose, str(placed))
    if whose and "XDG_RUNTIME_DIR" in answer.stderr:
        pytest.skip(f"no user's systemd here: {answer.stderr.strip()}")
    assert (answer.returncode, answer.stderr) == (0, "")


def test_the_service_of_the_system_is_hardly_exposed() -> None:
    answer = analyze("security", "--offline=true", "--threshold=20", "--no-pager", str(SYSTEM))
    assert answer.returncode == 0, answer.stdout
    (total,) = (line for line in answer.stdout.splitlines() if "Overall exposure level" in line)
    assert float(total.split(":")[1].split()[0]) <= EXPOSED_AT_MOST


def test_a_unit_without_a_sandbox_would_be_found_out(tmp_path: Path) -> None:
    bare = tmp_path / "bare.service"
    bare.write_text(f"[Service]\nExecStart={sys.executable}\n")
    assert analyze("security", "--offline=true", "--threshold=20", "--no-pager", str(bare)).returncode != 0


def test_the_watchdog_is_fed_three_times_as_often_as_it_asks(tmp_path: Path) -> None:
    told: list[str] = []
    pulse = WatchedPulse(FilePulse(tmp_path / "alive"), told.append, {"WATCHDOG_USEC": "30000000"})
    for second in range(31):
        pulse.beat(NOW.after(second))
    assert told == [SIGN] * 4
    assert pulse.last() == NOW  # the file is written once a minute


@pytest.mark.parametrize(
    "environment",
    [{}, {"WATCHDOG_USEC": "0"}, {"WATCHDOG_USEC": "soon"}, {"WATCHDOG_USEC": "1000", "WATCHDOG_PID": "1"}],
    ids=["not asked", "off", "not a number", "for another process"],
)
def test_a_watchdog_that_is_not_there_is_not_fed(tmp_path: Path, environment: dict[str, str]) -> None:
    told: list[str] = []
    WatchedPulse(FilePulse(tmp_path / "alive"), told.append, environment).beat(NOW)
    assert told == []


def test_the_status_line_says_what_is_on_and_only_when_it_changes() -> None:
    told: list[str] = []
    tell = StatusLine(told.append)
    state = begin()
    for words in ("time the eggs for nine minutes", "time the bread for an hour", "what's on"):
        event = PhraseHeard(text=words, started=NOW.instant, is_typed=True)
        before = state
        state, effects = step(state, event, NOW)
        tell(Stepped(event=event, now=NOW, before=before, state=state, effects=effects))
    assert told == ["STATUS=waits for a plan, 1 timer", "STATUS=waits for a plan, 2 timers"]
