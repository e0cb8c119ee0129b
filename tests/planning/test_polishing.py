"""A large dinner is polished: no worse by its wishes, the same every time, every rule of a kitchen kept."""

from __future__ import annotations

import pytest

from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from kitchend.planning.listing import listed_plan
from kitchend.planning.model import DinnerModel
from kitchend.planning.polishing import polished
from kitchend.planning.problem import Problem
from kitchend.planning.solver import Found, Term, Way
from kitchend.planning.tasks import problem_of_plan
from tests.planning.checker import Kitchen, faults
from tests.planning.dinners import HOUR, NOON, NOW
from tests.planning.suppers import supper

SETTINGS = PlanningSettings(first_effort=0.05)
SUPPER = supper(44, 3, cooks=2)


def problem() -> Problem:
    earliest = listed_plan(problem_of_plan(SUPPER, None, SETTINGS)).pass_s
    return problem_of_plan(SUPPER, round(1.3 * earliest), SETTINGS)


def poor_answer(model: DinnerModel) -> tuple[Found, list[Term]]:
    """The first answer that comes, by how long things stand."""
    standing, *_ = model.likings()
    model.model.minimize(standing.terms)
    found = model.model.solve(effort=0.2, seconds=10.0, way=Way.REFINED_SUM)
    assert found is not None
    return found, standing.terms


def test_polishing_betters_a_poor_answer() -> None:
    model = DinnerModel(problem())
    poor, terms = poor_answer(model)
    better = polished(model, poor, terms, effort=0.05, seconds=10.0)
    assert better.total(terms) < poor.total(terms)


def test_polishing_without_effort_changes_nothing() -> None:
    model = DinnerModel(problem())
    poor, terms = poor_answer(model)
    assert polished(model, poor, terms, effort=0.0, seconds=10.0) is poor


def planned() -> Timeline:
    return plan_dinner(SUPPER, now=NOW, serve=NOON + 5 * HOUR, settings=SETTINGS)


@pytest.mark.slow
def test_a_large_dinner_is_planned_the_same_every_time_and_keeps_every_rule() -> None:
    timeline = planned()
    assert timeline == planned()
    assert faults(Kitchen(plan=SUPPER, timeline=timeline, now=NOW, settings=SETTINGS)) == []
