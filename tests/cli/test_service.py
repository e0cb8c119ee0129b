"""`kitchend run` as a real process, with `tell` and `status` beside it."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
from pathlib import Path

import pytest

from tests.cli.process import KITCHEND, done, kitchend
from tests.cli.test_cook import LONG, QUICK


@pytest.fixture
def plans(own_folders: Path) -> Path:
    """The plans folder of the settings, with two plans that can be used and one that cannot."""
    folder = own_folders / "plans"
    folder.mkdir()
    (folder / "quick.yaml").write_text(QUICK)
    (folder / "long.yaml").write_text(LONG)
    (folder / "broken.yaml").write_text("plan: Broken\n")
    settings = own_folders / "config" / "kitchend" / "settings.yaml"
    settings.parent.mkdir(parents=True)
    settings.write_text(f"plans: {folder}\n")
    return folder


def told(*words: str) -> str:
    answer = done("tell", *words)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout


def test_the_service_starts_a_dinner_when_told_and_waits_again(plans: Path) -> None:
    with kitchend("run") as service:
        service.wait_for(f"ready, 2 plans in {plans}")
        assert "No dinner is on." in done("status").stdout
        assert "Quick supper." in told("cook the quick supper")
        assert "Noodles on." in told("noodles", "are on")
        service.wait_for("Up: the noodles.")
        shown = done("status").stdout
        assert "boil the noodles  up" in shown
        assert "Noodles boiled." in told("noodles are done")
        told("serve five minutes earlier")
        service.wait_for("verything to the table")
        assert json.loads(done("status", "--json").stdout)["plan"] is None
        assert "Long supper." in told("cook the long supper")
        assert service.end(signal.SIGTERM) == 0
        assert sum("broken.yaml" in line for line in service.errors) == 1
        assert "Traceback" not in service.told


def test_the_service_carries_on_by_itself(plans: Path) -> None:
    with kitchend("run") as service:
        service.wait_for("ready")
        told("cook the long supper")
        assert "Beans on." in told("beans are on")
        service.end(signal.SIGKILL)
    with kitchend("run") as service:
        service.wait_for("ready, 2 plans")
        service.wait_for("I am back")
        status = json.loads(done("status", "--json").stdout)
        assert status["plan"] == "Long supper"
        assert [step["step"] for step in status["going"]] == ["simmer the beans"]
        assert 5300 < status["going"][0]["left_s"] <= 5400


def test_a_second_service_is_refused_with_one_line(plans: Path) -> None:
    with kitchend("run") as service:
        service.wait_for("ready")
        refused = done("run")
        assert refused.returncode == 3
        assert len(refused.stderr.splitlines()) == 1
        assert "already running" in refused.stderr
        assert "No dinner is on." in done("status").stdout
    assert plans.exists()


def test_systemd_is_told_when_it_is_ready_and_when_it_stops(
    plans: Path, own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as systemd:
        systemd.bind(str(own_folders / "notify"))
        systemd.settimeout(30)
        monkeypatch.setenv("NOTIFY_SOCKET", str(own_folders / "notify"))
        monkeypatch.setenv("WATCHDOG_USEC", "600000")
        with kitchend("run") as service:
            assert systemd.recv(100) == b"READY=1"
            # The loop's first sign, and what is on, in whichever order they come.
            told = {systemd.recv(100), systemd.recv(100)}
            while b"STATUS=waits for a plan" not in told:
                told.add(systemd.recv(100))
            assert b"WATCHDOG=1" in told
            assert service.end(signal.SIGTERM) == 0
            while (last := systemd.recv(100)) == b"WATCHDOG=1":
                continue
            assert last == b"STOPPING=1"
    assert plans.exists()


def test_what_is_said_does_not_go_to_the_systems_log(plans: Path) -> None:
    reading, writing = os.pipe()
    there = os.fstat(writing)
    env = os.environ | {"JOURNAL_STREAM": f"{there.st_dev}:{there.st_ino}", "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen([*KITCHEND, "run"], stdout=writing, stderr=writing, env=env) as service:
        os.close(writing)
        with os.fdopen(reading, encoding="utf-8") as log:
            kept = [next(line for line in log if "ready, 2 plans" in line)]
            assert told("time the zabaglione for nine minutes")
            service.send_signal(signal.SIGTERM)
            kept += list(log)
    assert service.returncode == 0
    assert plans.exists()
    assert "zabaglione" not in "".join(kept).lower()


def test_tell_gives_json_for_programs(plans: Path) -> None:
    with kitchend("run") as service:
        service.wait_for("ready")
        answer = done("tell", "--json", "what's on")
        assert json.loads(answer.stdout) == {"said": ["Nothing is on."]}
    assert plans.exists()


@pytest.mark.parametrize("command", [("tell", "what's on"), ("status",), ("status", "--json")])
def test_without_a_service_it_is_one_line_and_exit_3(command: tuple[str, ...]) -> None:
    answer = done(*command)
    assert answer.returncode == 3
    assert answer.stdout == ""
    assert answer.stderr == "kitchend: service: none is running here; start one with `kitchend run`\n"
