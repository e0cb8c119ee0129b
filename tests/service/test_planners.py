"""The planner's port, here and in a process of its own: the same answers, and the second may die."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event

import pytest

from kitchend.core.clock import Now
from kitchend.core.plan import Plan
from kitchend.service.planner import SolvingPlanner
from kitchend.service.planner_apart import PlannerApart
from kitchend.service.ports import Planner
from tests.service.kitchen import START, Kitchen, quay_plan

SERVE = START.wall + 3 * 3600


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return quay_plan(tmp_path)


@pytest.fixture
def apart() -> Iterator[PlannerApart]:
    planner = PlannerApart()
    yield planner
    planner.close()


@pytest.fixture(params=[SolvingPlanner, PlannerApart], ids=["here", "apart"])
def planner(request: pytest.FixtureRequest) -> Iterator[Planner]:
    planner: SolvingPlanner | PlannerApart = request.param()
    yield planner
    if isinstance(planner, PlannerApart):
        planner.close()


def is_gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


def test_a_whole_dinner_is_planned_for_its_pass(planner: Planner, plan: Plan) -> None:
    timeline = planner.first(plan, SERVE, START)
    assert timeline.serve == SERVE
    assert timeline.is_feasible
    assert {step.id for step in plan.steps} <= {planned.step for planned in timeline.planned}


def test_with_no_pass_asked_for_it_is_as_early_as_it_can_be(planner: Planner, plan: Plan) -> None:
    timeline = planner.first(plan, None, START)
    assert START.wall < timeline.ready == timeline.serve < SERVE


def test_the_rest_is_what_has_not_ended(planner: Planner, plan: Plan) -> None:
    kitchen = Kitchen(plan)
    kitchen.begin()
    first = next(iter(plan.steps))
    kitchen.type(first.name)
    kitchen.type(f"{first.name} done")
    later = Now(START.instant + 60, START.wall + 60)
    planned = {place.step for place in planner.rest(kitchen.runner.state, later).planned}
    ended = {step for step, record in kitchen.runner.state.records.items() if record.state.value == "done"}
    assert planned
    assert not planned & ended


def test_both_give_the_very_same_timeline(plan: Plan, apart: PlannerApart) -> None:
    assert apart.first(plan, SERVE, START) == SolvingPlanner().first(plan, SERVE, START)


def test_what_the_settings_assume_reaches_the_other_process(plan: Plan) -> None:
    planner = PlannerApart(preheat_s=1800, chance=0.5)
    try:
        assert planner.first(plan, SERVE, START) == SolvingPlanner(1800, 0.5).first(plan, SERVE, START)
    finally:
        planner.close()


def test_a_planner_that_was_killed_is_started_again(plan: Plan, apart: PlannerApart) -> None:
    before = apart.process
    assert before is not None
    os.kill(before, signal.SIGKILL)
    assert apart.first(plan, SERVE, START).is_feasible
    assert apart.process not in (None, before)


@pytest.mark.parametrize("is_asked", [False, True], ids=["never asked", "asked once"])
def test_a_planner_that_is_asked_nothing_gives_its_memory_back(plan: Plan, is_asked: bool) -> None:
    planner = PlannerApart(idle_s=2.0)
    try:
        if is_asked:
            planner.first(plan, SERVE, START)
        before = planner.process
        assert before is not None
        await_that(lambda: planner.process is None)
        assert is_gone(before)
        assert planner.first(plan, SERVE, START).is_feasible
    finally:
        planner.close()


def test_where_no_process_can_be_had_planning_is_done_here(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    planner = PlannerApart()
    assert planner.process is None
    assert planner.first(plan, SERVE, START).is_feasible
    planner.close()


def test_the_folder_a_command_is_given_in_lends_the_planner_no_modules(
    plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "ortools.py").write_text("raise SystemExit")
    monkeypatch.chdir(tmp_path)
    planner = PlannerApart()
    try:
        before = planner.process
        assert planner.first(plan, SERVE, START).is_feasible
        assert before is not None
        assert planner.process == before
    finally:
        planner.close()


def test_closing_ends_the_process_for_good(plan: Plan) -> None:
    planner = PlannerApart()
    process = planner.process
    assert process is not None
    planner.close()
    assert is_gone(process)
    assert planner.first(plan, SERVE, START).is_feasible
    assert planner.process is None


def await_that(holds: Callable[[], bool]) -> None:
    """Wait, without an upper limit of its own: each test has its timeout."""
    while not holds():
        Event().wait(0.02)
