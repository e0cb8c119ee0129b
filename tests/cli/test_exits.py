"""What commands exit with, and that nobody is ever shown a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.process import done

COMMANDS = (
    "cook",
    "run",
    "rehearse",
    "check",
    "timeline",
    "hear",
    "tell",
    "status",
    "soundcheck",
    "feed",
    "sensors",
)
IMPOSSIBLE = """
plan: Two days in one
serve: "12:00"
dishes:
  - dish: stock
    steps:
      - step: simmer the stock
        takes: 47 h
"""
DEMO = str(Path(__file__).parents[2] / "plans" / "boathouse-sunday.yaml")


def test_help_names_every_command() -> None:
    answer = done("--help")
    assert answer.returncode == 0
    assert all(command in answer.stdout for command in COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command: str) -> None:
    answer = done(command, "--help")
    assert answer.returncode == 0
    assert f"Example: kitchend {command}" in " ".join(answer.stdout.split())


def broken(path: Path) -> None:
    path.write_text("plan: Broken\ndishes: 5\n")


def folder(path: Path) -> None:
    path.mkdir()


def missing(path: Path) -> None:
    assert not path.exists()


def not_text(path: Path) -> None:
    path.write_bytes(b"\xff\xfe\x00")


@pytest.mark.parametrize("make", [broken, folder, missing, not_text])
@pytest.mark.parametrize("command", ["cook", "check", "timeline", "rehearse"])
def test_a_plan_with_problems_is_exit_1_with_its_place(tmp_path: Path, command: str, make: object) -> None:
    path = tmp_path / "plan.yaml"
    assert callable(make)
    make(path)
    answer = done(command, str(path))
    told = answer.stdout + answer.stderr
    assert answer.returncode == 1, told
    assert str(path) in told
    assert "Traceback" not in told
    assert "this is a bug" not in told


WRONG_USE = {
    "no command": (),
    "no such command": ("bake",),
    "no plan": ("cook",),
    "no such option": ("cook", DEMO, "--hot"),
    "no time": ("cook", DEMO, "--serve", "noonish"),
    "no such settings": ("cook", DEMO, "--settings", "/no/such/file.yaml"),
    "no such cook": ("rehearse", DEMO, "--cook", "grumpy"),
}


@pytest.mark.parametrize("arguments", WRONG_USE.values(), ids=WRONG_USE)
def test_wrong_use_is_exit_2(arguments: tuple[str, ...]) -> None:
    answer = done(*arguments)
    assert answer.returncode == 2
    assert "Traceback" not in answer.stderr


def test_settings_with_mistakes_are_told_with_their_place(tmp_path: Path) -> None:
    settings = tmp_path / "settings.yaml"
    settings.write_text("adress: hello\n")
    answer = done("cook", DEMO, "--settings", str(settings))
    assert answer.returncode == 2
    assert answer.stderr == f"kitchend: {settings}:1:1: adress: is no setting (did you mean address?)\n"


def test_check_gives_the_shape_that_programs_rely_on(tmp_path: Path) -> None:
    fine = done("check", "--json", DEMO)
    assert fine.returncode == 0
    assert json.loads(fine.stdout)["ok"] is True
    path = tmp_path / "plan.yaml"
    broken(path)
    wrong = done("check", "--json", DEMO, str(path))
    assert wrong.returncode == 1
    shape = json.loads(wrong.stdout)
    assert set(shape) >= {"ok", "problems", "warnings"}
    assert shape["ok"] is False
    assert set(shape["problems"][0]) >= {"file", "line", "column", "field", "message", "hint"}


def test_timeline_gives_the_shape_that_programs_rely_on() -> None:
    answer = done("timeline", "--json", DEMO)
    assert answer.returncode in {0, 1}, answer.stderr
    shape = json.loads(answer.stdout)
    assert set(shape) >= {"serve", "feasible", "late_by_s", "steps", "conflicts", "on_time_probability"}
    assert set(shape["steps"][0]) >= {
        "dish",
        "step",
        "start",
        "end",
        "hands_s",
        "equipment",
        "slack_s",
        "critical",
        "added",
    }
    assert shape["feasible"] is (answer.returncode == 0)
    assert any(step["added"] for step in shape["steps"])


def test_a_timeline_that_cannot_be_had_is_exit_1_and_says_why(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_text(IMPOSSIBLE)
    answer = done("timeline", str(path))
    assert answer.returncode == 1
    assert "late" in answer.stdout
    shape = json.loads(done("timeline", "--json", str(path)).stdout)
    assert shape["feasible"] is False
    assert shape["late_by_s"] > 23 * 3600 or shape["conflicts"]
