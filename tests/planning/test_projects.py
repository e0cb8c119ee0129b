"""Projects of thirty jobs on four shared things, as plan files through the command, against a plain model.

The model of `projects.shortest` shares no code with the planner; that it is right itself is shown on
published optima (their sources stand in `test_published.py`).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kitchend.files.plan_yaml import read_plan
from kitchend.planning import PlanningSettings, plan_dinner
from tests.cli.process import done
from tests.planning.checker import Kitchen, faults
from tests.planning.dinners import MIN, NOW
from tests.planning.projects import Project, random_project, shortest
from tests.planning.test_published import J301_1, RCPSP_10, patterson

SHAPES = [
    (complexity, factor, strength)
    for complexity in (1.5, 1.8, 2.1)
    for factor in (0.25, 0.5, 0.75, 1.0)
    for strength in (0.2, 0.5, 0.7, 1.0)
]


def shaped(place: int) -> Project:
    complexity, factor, strength = SHAPES[place]
    return random_project(place, complexity=complexity, factor=factor, strength=strength)


def proved(project: Project) -> int:
    length = shortest(project)
    assert length is not None
    return length


@pytest.mark.parametrize(
    ("project", "optimum"),
    [(RCPSP_10, 21), (patterson(4), 11), (patterson(5), 8), (J301_1, 43)],
    ids=["RCPSP-10", "Patterson 8", "Patterson 7", "PSPLIB j301_1"],
)
def test_the_plain_model_finds_the_published_optima(project: Project, optimum: int) -> None:
    assert shortest(project) == optimum


def test_projects_are_what_they_say() -> None:
    project = shaped(SHAPES.index((1.8, 0.5, 0.2)))
    assert len(project.jobs) == 30
    assert len(project.arcs) == round(1.8 * 32)
    assert sum(demand > 0 for row in project.demands for demand in row) == 60


@pytest.mark.parametrize(
    "place", range(0, len(SHAPES), 4), ids=lambda place: "-".join(map(str, SHAPES[place]))
)
def test_thirty_jobs_take_their_shortest_length_and_it_is_proved(place: int, tmp_path: Path) -> None:
    project = shaped(place)
    file = tmp_path / "project.yaml"
    file.write_text(project.as_file(), encoding="utf-8")
    plan = read_plan(file)
    timeline = plan_dinner(plan, now=NOW, serve=None)
    assert timeline.ready - NOW.wall == proved(project) * MIN
    assert timeline.gap == 0
    assert timeline.is_feasible
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=PlanningSettings())) == []


@pytest.mark.parametrize(
    ("project", "length"),
    [(RCPSP_10, 21), (patterson(4), 11), (J301_1, 43), (shaped(12), None)],
    ids=["RCPSP-10", "Patterson 8", "PSPLIB j301_1", "30 jobs"],
)
def test_the_command_says_the_shortest_length_of_a_project_file(
    project: Project, length: int | None, tmp_path: Path
) -> None:
    file = tmp_path / "project.yaml"
    file.write_text(project.as_file(), encoding="utf-8")
    printed = done("timeline", str(file), "--json")
    assert (printed.returncode, printed.stderr) == (0, "")
    said = json.loads(printed.stdout)
    assert said["length_s"] == (length or proved(project)) * MIN
    assert (said["feasible"], said["late_by_s"], said["gap"]) == (True, 0, 0)


def test_counts_in_a_list_may_stand_on_their_own(tmp_path: Path) -> None:
    """YAML takes [r1, 3 places] for two items."""
    file = tmp_path / "project.yaml"
    quoted = patterson(4).as_file()
    file.write_text(quoted.replace('"', ""), encoding="utf-8")
    bare = read_plan(file)
    file.write_text(quoted, encoding="utf-8")
    assert bare == read_plan(file)
