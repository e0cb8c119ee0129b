"""`kitchend cook` as a real process with typed words: to the table, stopped, killed, carried on."""

from __future__ import annotations

import json
import signal
import subprocess
from pathlib import Path
from random import Random

import pytest

from tests.cli.process import Process, done, kitchend

QUICK = """
plan: Quick supper
equipment:
  hob: {rings: 2}
dishes:
  - dish: noodles
    steps:
      - step: boil the noodles
        hands: 1 s
        takes: 3 s
        on: hob
        keeps: all day
"""
LONG = """
plan: Long supper
equipment:
  hob: {rings: 2}
dishes:
  - dish: beans
    steps:
      - step: simmer the beans
        hands: 1 min
        takes: 90 min
        on: hob
        keeps: all day
"""


@pytest.fixture
def quick(tmp_path: Path) -> str:
    path = tmp_path / "quick.yaml"
    path.write_text(QUICK)
    return str(path)


@pytest.fixture
def long(tmp_path: Path) -> str:
    path = tmp_path / "long.yaml"
    path.write_text(LONG)
    return str(path)


def status() -> dict[str, object]:
    answer = done("status", "--json")
    assert answer.returncode == 0, answer.stderr
    shape: dict[str, object] = json.loads(answer.stdout)
    return shape


def test_a_dinner_is_cooked_with_typed_words(quick: str, own_folders: Path) -> None:
    with kitchend("cook", quick) as process:
        process.wait_for("Quick supper: 1 step, first call at")
        process.wait_for("Boil the noodles now.")
        process.type("noodles are on")
        process.wait_for("Noodles on.")
        process.wait_for("Up: the noodles.")
        process.type("noodles are done")
        process.wait_for("Noodles boiled.")
        process.type("serve five minutes earlier")
        process.wait_for("verything to the table")
        assert process.exit_code() == 0
        assert "Traceback" not in process.told
    finished = list((own_folders / "state" / "kitchend").glob("*-dinner.sqlite3"))
    assert len(finished) == 1


def test_without_sound_it_says_so_in_one_line(quick: str) -> None:
    with kitchend("cook", quick) as process:
        process.wait_for("Boil the noodles now.")
        about_sound = [line for line in process.errors if "microphone" in line]
        if not about_sound:
            pytest.skip("this machine has a microphone")
        assert len(about_sound) == 1
        assert "type what you would say" in about_sound[0]


def test_ctrl_c_keeps_the_dinner_and_it_is_carried_on(long: str) -> None:
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        process.type("beans are on")
        process.wait_for("Beans on.")
        assert process.end(signal.SIGINT) == 130
        assert "the dinner is kept" in process.lines[-1]
    with kitchend("cook", long) as process:
        process.wait_for("Carrying on with Long supper.")
        process.wait_for("I am back")
        process.type("how long on the beans")
        process.wait_for("hour")
        assert process.end() == 0
        assert "Traceback" not in process.told


def test_afresh_begins_again(long: str) -> None:
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        process.type("beans are on")
        process.wait_for("Beans on.")
        process.end()
    with kitchend("cook", long, "--afresh") as process:
        process.wait_for("Planning Long supper")
        process.wait_for("Simmer the beans now.")


def test_another_plan_is_refused_while_a_dinner_is_unfinished(long: str, quick: str) -> None:
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        process.end()
    refused = done("cook", quick)
    assert refused.returncode == 2
    (line,) = [line for line in refused.stderr.splitlines() if "Long supper" in line]
    assert "--afresh" in line
    with kitchend("cook", quick, "--afresh") as process:
        process.wait_for("Boil the noodles now.")


def test_a_second_one_is_refused_with_one_line(long: str) -> None:
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        refused = done("cook", long)
        assert refused.returncode == 3
        (line,) = refused.stderr.splitlines()
        assert line.startswith("kitchend: service: another kitchend is already running; talk to it with")


def test_the_end_of_typed_lines_does_not_end_the_dinner(long: str) -> None:
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        process.type("beans are on")
        process.close_stdin()
        process.wait_for("No more typed lines")
        told = done("tell", "how long on the beans")
        assert told.returncode == 0
        assert "hour" in told.stdout
        assert process.child.poll() is None
        assert process.end() == 0


TIMERS = ("eggs", "bread", "tea")


def kill_after(process: Process, moment: float) -> None:
    """Kill without warning, a moment after the last word; until then it must run."""
    with pytest.raises(subprocess.TimeoutExpired):
        process.child.wait(moment)
    process.end(signal.SIGKILL)


def test_timers_survive_being_killed(long: str) -> None:
    random = Random(20)
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        process.type("beans are on")
        process.wait_for("Beans on.")
        kill_after(process, random.uniform(0, 0.3))
    for number, name in enumerate(TIMERS, start=1):
        with kitchend("cook", long, "--carry-on") as process:
            process.wait_for("I am back")
            process.type(f"time the {name} for {('twenty', 'thirty', 'forty')[number - 1]} minutes")
            process.wait_for(f"{name.capitalize()}: ")
            kill_after(process, random.uniform(0, 0.3))
    with kitchend("cook", long, "--carry-on") as process:
        process.wait_for("I am back")
        shape = status()
        timers = shape["timers"]
        assert isinstance(timers, list)
        assert [timer["name"] for timer in timers] == list(TIMERS)
        full = (1200, 1800, 2400)
        assert all(most - 60 < timer["left_s"] <= most for timer, most in zip(timers, full, strict=True))
        going = shape["going"]
        assert isinstance(going, list)
        assert [(step["step"], step["state"]) for step in going] == [("simmer the beans", "on")]
        assert process.end() == 0


def test_a_damaged_journal_is_one_line_and_the_dinner_begins(long: str, own_folders: Path) -> None:
    state = own_folders / "state" / "kitchend"
    state.mkdir(parents=True)
    (state / "journal.sqlite3").write_bytes(b"no database " * 1000)
    with kitchend("cook", long) as process:
        process.wait_for("Simmer the beans now.")
        assert sum("damaged" in line for line in process.errors) == 1
