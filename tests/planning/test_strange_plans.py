"""Plans nobody should write, and passes nobody can meet: each gets a correct timeline or one clear line."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.planning.listing import listed_plan
from kitchend.planning.outcome import outcome_of, timeline_of
from kitchend.planning.room import Room
from kitchend.planning.tasks import origin_of, problem_of_plan
from tests.cli.process import done
from tests.planning.checker import Kitchen, faults
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, on, step
from tests.planning.suppers import supper

SETTINGS = PlanningSettings()


def planned(plan: Plan, serve_s: float | None) -> Timeline:
    timeline = plan_dinner(plan, now=NOW, serve=None if serve_s is None else NOON + serve_s)
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=SETTINGS)) == []
    return timeline


def test_a_pass_in_the_past_is_late_from_then_and_says_when_it_could_be() -> None:
    timeline = planned(dinner(step("boil the eggs", 10 * MIN)), -HOUR)
    assert timeline.late_by_s == 70 * MIN
    (conflict,) = timeline.conflicts
    assert (
        conflict.message
        == "dinner would be 1 h 10 min late: boil the eggs takes 10 min and the pass is 1 h past"
    )
    assert conflict.changes == ("the pass at 12:10, 1 h 10 min later",)


def test_a_pass_tomorrow_begins_tomorrow() -> None:
    timeline = planned(dinner(step("boil the eggs", 10 * MIN)), 30 * HOUR)
    assert timeline.is_feasible
    assert timeline.planned[0].start == NOON + 30 * HOUR - 10 * MIN


def test_a_step_of_thirty_hours_takes_thirty_hours() -> None:
    plan = dinner(
        step("cure the trout", 30 * HOUR, keeps=None),
        step("slice the trout", hands=MIN, after=["cure the trout"]),
    )
    timeline = planned(plan, None)
    assert timeline.ready - NOON == 30 * HOUR + MIN + SETTINGS.answer_s
    assert planned(plan, 40 * HOUR).is_feasible


def test_a_step_that_takes_no_time_is_a_mark_that_others_wait_for() -> None:
    plan = dinner(
        step("boil the barley", 40 * MIN, keeps=None),
        step("all is boiled", 0, after=["boil the barley"], keeps=None),
        step("drain the barley", 5 * MIN, after=["all is boiled"]),
    )
    timeline = planned(plan, None)
    assert timeline.ready - NOON == 45 * MIN
    assert timeline.is_feasible


@pytest.mark.parametrize("serve_s", [None, 10 * MIN, 12 * HOUR, 72 * HOUR], ids=str)
@pytest.mark.parametrize("steps", [120, 500])
def test_a_plan_of_hundreds_of_steps_keeps_every_rule(steps: int, serve_s: int | None) -> None:
    plan = supper(steps, 1, cooks=2)
    problem = problem_of_plan(plan, serve_s, SETTINGS)
    outcome = outcome_of(problem, listed_plan(problem))
    timeline = timeline_of(outcome, origin_of(NOW), None if serve_s is None else NOON + serve_s, ())
    assert len(timeline.planned) == steps + len(timeline.added)
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=SETTINGS)) == []


ANSWER_S = PlanningSettings().answer_s


def test_what_a_list_lets_stand_too_long_is_said() -> None:
    plan = dinner(*(step(f"fry {n}", hands=9 * MIN, keeps=MIN) for n in range(3)))
    problem = problem_of_plan(plan, HOUR, SETTINGS)
    overruns = listed_plan(problem).overruns_s
    assert sorted(overruns.values()) == [9 * MIN + ANSWER_S - MIN, 18 * MIN + 2 * ANSWER_S - MIN]


SOUP = """\
plan: A
equipment:
  hob: {rings: 2}
dishes:
  - dish: soup
    steps:
"""
TOO_MANY_RINGS = (
    SOUP
    + """\
      - step: boil the soup
        takes: 5 min
        on: hob, 3 rings
"""
)
NO_TIME = (
    SOUP
    + """\
      - step: boil the soup
        takes: 5 min
      - step: stir the soup
        during: boil the soup
        every: 0 min
        hands: 1 min
"""
)
MANY_STEPS = SOUP + "".join(f"      - step: stir it {n}\n        hands: 1 min\n" for n in range(500))
ODD_FILES = {
    "more rings than there are": (
        TOO_MANY_RINGS,
        ":9:13: soup.boil the soup.on: needs 3 rings but the hob has 2 rings (use 2 or fewer)",
    ),
    "no time at all for a repeat": (
        NO_TIME,
        ":11:16: soup.stir the soup.every: no time at all (give at least 1 s, or leave the key out)",
    ),
    "five hundred steps": (
        MANY_STEPS,
        ":5:3: dishes: more than 200 steps (a plan is one dinner: split it)",
    ),
}


@pytest.mark.parametrize(("text", "line"), ODD_FILES.values(), ids=ODD_FILES.keys())
def test_a_file_that_asks_too_much_gets_one_line(text: str, line: str, tmp_path: Path) -> None:
    file = tmp_path / "odd.yaml"
    file.write_text(text, encoding="utf-8")
    printed = done("timeline", str(file))
    assert printed.returncode == 1
    assert printed.stdout == ""
    assert printed.stderr.strip().endswith(line)
    assert len(printed.stderr.strip().splitlines()) == 1


def test_room_is_found_at_the_first_and_at_the_last_moment_it_is_there() -> None:
    room = Room(2)
    room.take(10, 20, 1)
    room.take(15, 30, 2)
    assert room.earliest(0, 10, 1) == 0
    assert room.earliest(0, 12, 2) == 30
    assert room.earliest(6, 10, 1) == 30
    assert room.latest(40, 0, 5, 2) == 40
    assert room.latest(28, 0, 5, 1) == 10
    assert room.latest(28, 0, 5, 2) == 5
    assert room.latest(28, 12, 5, 2) is None
    room.take(15, 30, -2)
    assert room.earliest(6, 10, 1) == 6


def test_a_supper_that_needs_more_rings_than_there_are_is_planned_with_all_of_them() -> None:
    timeline = plan_dinner(
        dinner(step("boil the soup", 5 * MIN, uses=[on("hob", 9)])), now=NOW, serve=NOON + HOUR
    )
    assert [conflict.message for conflict in timeline.conflicts] == [
        "boil the soup needs 9 places of the hob, which has 4"
    ]
    assert len(timeline.planned) == 1
