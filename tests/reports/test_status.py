"""How a dinner stands, as JSON and as lines: the same facts in both."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.reports.status import status_json, status_text
from tests.service.kitchen import START, Kitchen, quay_plan

KEYS = {
    "plan",
    "serve",
    "ready",
    "late_by_s",
    "steps_done",
    "steps",
    "going",
    "holds",
    "passes",
    "next",
    "timers",
    "asked",
    "last_words",
    "language",
}


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    return Kitchen(quay_plan(tmp_path))


def told(kitchen: Kitchen) -> str:
    return status_text(status_json(kitchen.runner.state, kitchen.clock.now()))


def test_without_a_dinner_it_says_so(kitchen: Kitchen) -> None:
    shape = status_json(kitchen.runner.state, START)
    assert set(shape) == KEYS
    assert shape["plan"] is None
    assert told(kitchen) == "No dinner is on."


def test_a_dinner_under_way_is_told_in_full(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("rice is on")
    kitchen.type("greens trimmed")
    kitchen.type("time the eggs for nine minutes")
    kitchen.wait(1)
    shape = status_json(kitchen.runner.state, kitchen.clock.now())
    assert set(shape) == KEYS
    assert (shape["steps_done"], shape["steps"], shape["late_by_s"]) == (1, 3, 0)
    (rice,) = shape["going"]
    assert (rice["dish"], rice["step"], rice["state"]) == ("rice", "boil the rice", "on")
    assert rice["left_s"] == 11 * 60
    assert rice["ends"] == "2026-05-29T18:12:00+00:00"
    assert shape["timers"] == [{"name": "eggs", "left_s": 480, "held": False}]
    assert [step["step"] for step in shape["next"]] == ["steam the greens"]
    assert told(kitchen).splitlines()[:3] == [
        "Quay supper: the pass at 18:12, on time, 1 of 3 steps done.",
        "On now:",
        "  boil the rice  on  11 min left",
    ]
    assert "  eggs  8 min left" in told(kitchen)


def test_every_pass_to_come_is_told(kitchen: Kitchen) -> None:
    kitchen.begin()
    shape = status_json(kitchen.runner.state, kitchen.clock.now())
    assert shape["passes"] == [shape["serve"]]
    both = {**shape, "passes": ["2026-05-29T17:30:00+00:00", shape["serve"]]}
    assert status_text(both).startswith("Quay supper: the passes at 17:30 and 18:12, on time,")


def test_a_late_dinner_and_an_open_question_are_told(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("serve five minutes earlier")
    kitchen.type("drop the greens")
    assert status_json(kitchen.runner.state, kitchen.clock.now())["asked"]
    assert "min late" in told(kitchen)
    assert "Asked: " in told(kitchen)


def test_what_has_run_over_is_told(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("time the eggs for one minute")
    kitchen.wait(3)
    assert "eggs  2 min over" in told(kitchen)
