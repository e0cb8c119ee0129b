"""`kitchend feed` and `kitchend sensors` as real processes beside a real service."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Event

import pytest

from tests.cli.process import done, kitchend
from tests.service.sys_folder import SysFolder

ROAST = """
plan: Jetty supper
equipment:
  oven: {shelves: 2, preheat: 1 min}
dishes:
  - dish: halibut
    steps:
      - step: bake the halibut
        hands: 1 min
        takes: 80 to 100 min
        until: 145 F inside
        in: oven at 375 F
"""
SMOKER = "import time\nfor n in range(10_000):\n    print(120 + n / 100, flush=True)\n    time.sleep(0.05)"


@pytest.fixture
def settings(own_folders: Path) -> Path:
    """The settings file, with a plans folder that has one plan in Fahrenheit."""
    plans = own_folders / "plans"
    plans.mkdir()
    (plans / "jetty.yaml").write_text(ROAST)
    path = own_folders / "config" / "kitchend" / "settings.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(f"plans: {plans}\n")
    return path


def begin() -> None:
    done("tell", "cook the jetty supper")
    done("tell", "bake the halibut is on")
    status = json.loads(done("status", "--json").stdout)
    if not any(step["step"] == "bake the halibut" for step in status["going"]):
        done("tell", "yes")


def wait_until(is_so: Callable[[], bool], within_s: float = 30.0) -> None:
    for _ in range(round(within_s / 0.1)):
        if is_so():
            return
        Event().wait(0.1)
    raise AssertionError("it never came to that")


def test_what_a_program_measures_reaches_the_dinner_over_a_restart_of_the_service(settings: Path) -> None:
    with kitchend("feed", "--of", "halibut", "--every", "1 s", "--", sys.executable, "-c", SMOKER) as feed:
        wait_until(lambda: len(feed.errors) == 1)
        assert feed.errors[0].startswith("kitchend: service: none is running here")
        with kitchend("run") as service:
            service.wait_for("ready")
            begin()
            # 120 F and a little: the plan is in Fahrenheit, and so is a number alone.
            line = feed.wait_for("kept for halibut/bake-the-halibut")
            assert line.startswith(("halibut: 48.9 C", "halibut: 49.", "halibut: 5"))
            service.end(signal.SIGKILL)
        wait_until(lambda: len(feed.errors) >= 3)
        with kitchend("run") as service:
            service.wait_for("carrying on")
            wait_until(lambda: feed.errors[-1] == "kitchend: service: it is there again")
            assert feed.end(signal.SIGINT) == 130
        assert " readings taken, " in feed.lines[-1]
        assert "Traceback" not in feed.told


def test_standard_input_will_do(settings: Path) -> None:
    with kitchend("run") as service:
        service.wait_for("ready")
        begin()
        fed = done("feed", "--json", typed='{"of": "oven", "celsius": 190}\n{"of": "pokr", "celsius": 58}\n')
        assert fed.returncode == 0, fed.stderr
        lines = [json.loads(line) for line in fed.stdout.splitlines()]
        assert {"of": "oven", "celsius": 190.0, "taken": "oven"} in lines
        assert [line["why"] for line in lines if "why" in line] == ["nothing in this dinner is called pokr"]
        assert lines[-1] == {"sum": {"lines": 2, "taken": 1, "unwanted": 1, "wrong": 0}}


def test_a_feed_that_is_told_to_end_takes_its_program_along(settings: Path, tmp_path: Path) -> None:
    script = f"import os, time\nopen({str(tmp_path / 'pid')!r}, 'w').write(str(os.getpid()))\ntime.sleep(600)"
    with kitchend("feed", "--of", "halibut", "--again", "--", sys.executable, "-c", script) as feed:
        wait_until(lambda: (tmp_path / "pid").exists() and bool((tmp_path / "pid").read_text()))
        pid = (tmp_path / "pid").read_text()
        assert feed.end(signal.SIGTERM) == 0
        wait_until(lambda: not Path(f"/proc/{pid}").exists())


CODES = {
    "no service": (("feed", "--of", "halibut"), "58\n", 3, "service: none is running here"),
    "no program": (("feed", "--of", "x", "--", "/no/such"), "", 3, "/no/such: cannot be started"),
    "no reading": (("feed", "--of", "x"), "warm\n", 1, '"warm" is neither a number'),
    "no name": (("feed",), "58\n", 1, "nothing says what the thermometer is in"),
    "no unit": (("feed", "--unit", "K"), "", 2, '--unit: "K" is no unit'),
    "no folder": (("sensors", "--under", "/no/such"), "", 2, "--under /no/such: there is no such folder"),
}


@pytest.mark.parametrize(("command", "typed", "code", "told"), CODES.values(), ids=CODES)
def test_what_goes_wrong_is_one_line_and_its_exit_code(
    command: tuple[str, ...], typed: str, code: int, told: str
) -> None:
    answer = done(*command, typed=typed)
    assert (answer.returncode, len(answer.stderr.splitlines())) == (code, 1), answer.stderr
    assert told in answer.stderr


def test_the_sensors_of_a_board_are_listed_to_be_named_in_the_settings(tmp_path: Path) -> None:
    board = SysFolder(tmp_path / "sys").has_probe().has_chip()
    listed = done("sensors", "--under", str(board.root))
    assert listed.returncode == 0, listed.stderr
    assert [line.split()[0] for line in listed.stdout.splitlines()[:2]] == ["58.2", "41.0"]
    sensors = json.loads(done("sensors", "--json", "--under", str(board.root)).stdout)["sensors"]
    assert [one["kind"] for one in sensors] == ["1-wire", "hwmon"]
    assert done("sensors").returncode == 0  # whatever this machine has


def test_a_probe_of_the_settings_is_read_by_the_service_and_missed_when_it_is_pulled(
    settings: Path, tmp_path: Path
) -> None:
    board = SysFolder(tmp_path / "sys").has_probe()
    path = board.root / "bus" / "w1" / "devices" / board.w1.name / "temperature"
    with settings.open("a") as file:
        file.write(f"sensors:\n  - of: halibut\n    path: {path}\n    every: 1 s\n")
    with kitchend("run") as service:
        service.wait_for("ready")
        begin()
        wait_until(lambda: "halibut  58.2 C" in done("status").stdout)
        board.w1.rename(board.w1.with_name("away"))
        wait_until(lambda: "lost: thermometer of the halibut" in done("status").stdout)
        (one,) = json.loads(done("status", "--json").stdout)["thermometers"]
        assert (one["works"], one["celsius"]) == (False, 58.25)
        wait_until(lambda: any("is the probe plugged in?" in line for line in service.errors))
        assert service.end(signal.SIGTERM) == 0
