"""A slow solve delays nothing: while CP-SAT searches in the worker's thread, the loop goes on calling.

The solve is a real one that cannot be proved soon. No time is asserted, only what came before what.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event, get_ident

import pytest

from kitchend.core.clock import Now
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.service.planner import SolvingPlanner
from kitchend.service.worker import Worker
from tests.planning.projects import random_project
from tests.service.kitchen import Kitchen, quay_plan

PATIENCE_S = 60.0
LONG = replace(PlanningSettings(), length_effort=0.8, effort=0.01, seconds_limit=20.0)


class SlowPlanner(SolvingPlanner):
    """Has a hard problem solved before it gives the rest of the dinner."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        project = random_project(5, complexity=1.5, factor=1.0, strength=0.1, jobs=60)
        file = folder / "hard.yaml"
        file.write_text(project.as_file(), encoding="utf-8")
        self._hard = read_plan(file)
        self.is_slow = False
        self.begun, self.done = Event(), Event()
        self.thread: int | None = None

    def rest(self, state: DinnerState, now: Now) -> Timeline:
        if self.is_slow:
            self.thread = get_ident()
            self.begun.set()
            plan_dinner(self._hard, now=now, serve=None, settings=LONG)
            self.done.set()
        return super().rest(state, now)


@pytest.fixture
def worker() -> Iterator[Worker]:
    worker = Worker()
    yield worker
    worker.close()


def test_the_loop_rings_and_answers_while_the_rest_is_planned(tmp_path: Path, worker: Worker) -> None:
    planner = SlowPlanner(tmp_path)
    kitchen = Kitchen(quay_plan(tmp_path), planner=planner, work=worker)
    kitchen.begin()
    kitchen.type("time the eggs for two minutes")
    planner.is_slow = True
    kitchen.type("serve fifteen minutes later")
    assert planner.begun.wait(PATIENCE_S)
    before = len(kitchen.said)
    kitchen.wait(3)
    kitchen.type("what's on")
    said = kitchen.said[before:]
    assert not planner.done.is_set()
    assert any("eggs" in text for text in said)
    assert len(said) >= 2
    assert planner.thread != get_ident()
    assert planner.done.wait(PATIENCE_S)


def test_the_solver_lets_other_threads_run(tmp_path: Path, worker: Worker) -> None:
    """Else the loop would stand still for as long as a search takes, in whatever thread."""
    planner = SlowPlanner(tmp_path)
    planner.is_slow = True
    worker(lambda: planner.rest(DinnerState(), Kitchen(quay_plan(tmp_path)).clock.now()))
    assert planner.begun.wait(PATIENCE_S)
    pause = Event()
    turns = 0
    while turns < 50 and not planner.done.is_set():
        pause.wait(0.005)
        turns += 1
    assert turns == 50
    assert not planner.done.is_set()
    assert planner.done.wait(PATIENCE_S)
