"""Dinners looked for where prices say that they are cheap: as good as the best, and honest about the gap."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import pytest

from kitchend.core.plan import Plan
from kitchend.planning import plan_dinner
from kitchend.planning.cheapest import Cheap, closed, found_where_cheap, put_back
from kitchend.planning.listing import listed_plan
from kitchend.planning.model import DinnerModel
from kitchend.planning.problem import Problem
from kitchend.planning.settings import PlanningSettings
from kitchend.planning.solver import Found
from kitchend.planning.tasks import problem_of_plan
from tests.planning.big_dinners import courses, holiday, shared
from tests.planning.checker import Kitchen, faults, freshness_faults
from tests.planning.dinners import MIN, NOON, NOW, dinner, step
from tests.planning.suppers import feast
from tests.planning.test_prices import in_its_units, proved, roomy

CHOSEN = PlanningSettings()


@contextmanager
def looked_for(problem: Problem) -> Iterator[tuple[DinnerModel, Cheap]]:
    """The model, for a while held to no trouble, and what is found in it."""
    model = DinnerModel(problem)
    with model.without_trouble():
        cheap = found_where_cheap(model)
        assert cheap is not None
        yield model, cheap


@pytest.mark.parametrize("seed", range(4))
def test_what_is_found_and_closed_stands_as_short_as_what_the_solver_proves(seed: int) -> None:
    problem = roomy(feast(20, seed))
    answer = proved(problem)
    assert answer is not None
    least = answer[1]
    with looked_for(problem) as (model, cheap):
        value = cheap.found.total(cheap.standing)
        assert least <= value
        assert cheap.gap(cheap.found) >= (value - least) / max(1, value)
        best = closed(model, cheap, cheap.found)
        assert best is None or best.total(cheap.standing) == least


def a_little_worse(problem: Problem, least: int) -> Found:
    """An answer that stands one moment longer than the best, or as little more as can be."""
    with looked_for(problem) as (model, _):
        standing = model.likings()[0].terms
        model.model.at_least(standing, least + 1)
        model.model.minimize(standing)
        found = model.model.solve(effort=1.0, seconds=20.0)
        assert found is not None
        return found


def test_closing_betters_an_answer_that_is_a_little_worse_than_the_best() -> None:
    problem = in_its_units(replace(holiday(0), dishes=holiday(0).dishes[:5]), 6 * 60 * MIN)
    answer = proved(problem)
    assert answer is not None
    with looked_for(problem) as (model, cheap):
        worse = a_little_worse(problem, answer[1])
        assert worse.total(cheap.standing) > answer[1]
        best = closed(model, cheap, worse)
        assert best is not None
        assert best.total(cheap.standing) == answer[1]


def test_an_answer_far_from_the_bound_is_left_as_it_is() -> None:
    problem = roomy(feast(20, 0))
    with looked_for(problem) as (model, cheap):
        far = a_little_worse(problem, 2 * cheap.bound.least)
        assert closed(model, cheap, far) is None


def test_nothing_is_looked_for_with_little_effort_or_where_trouble_is_sure() -> None:
    problem = roomy(feast(20, 0))
    little = replace(problem, settings=replace(problem.settings, effort=0.05))
    assert found_where_cheap(DinnerModel(little)) is None
    carving = dinner(*(step(f"carve {turn}", hands=10 * MIN, keeps=2 * MIN) for turn in range(8)))
    model = DinnerModel(in_its_units(carving, 180 * MIN))
    with model.without_trouble():
        assert found_where_cheap(model) is None


def test_nothing_is_looked_for_where_nothing_stands() -> None:
    plan = dinner(step("lay the table", hands=10 * MIN, keeps=None))
    assert found_where_cheap(DinnerModel(in_its_units(plan, 60 * MIN))) is None


def kitchen_of(plan: Plan) -> Kitchen:
    earliest = listed_plan(problem_of_plan(plan, None, CHOSEN)).pass_s
    serve = NOON + round(earliest * 1.3) // MIN * MIN
    timeline = plan_dinner(plan, now=NOW, serve=serve)
    return Kitchen(plan=plan, timeline=timeline, now=NOW, settings=CHOSEN)


@pytest.mark.slow
@pytest.mark.parametrize("plan", [holiday(1), courses(0)], ids=lambda plan: plan.name)
def test_a_big_dinner_keeps_every_rule_stands_no_longer_than_it_keeps_and_is_the_same_again(
    plan: Plan,
) -> None:
    kitchen = kitchen_of(plan)
    assert faults(kitchen) == []
    assert plan.dishes[0].before_pass_s > 0 or freshness_faults(kitchen) == []
    assert kitchen.timeline.gap is not None
    assert 0 <= kitchen.timeline.gap < 0.2
    assert kitchen_of(plan).timeline == kitchen.timeline


def test_plans_with_passes_of_their_own_are_proved_best_together() -> None:
    plan = shared((75, 45, 0))
    with looked_for(roomy(plan)) as (model, cheap):
        best = closed(model, cheap, cheap.found)
        assert best is not None
        assert best.total(cheap.standing) >= cheap.bound.least


def test_what_keeps_all_day_is_put_back_as_late_as_it_can_be() -> None:
    plan = dinner(
        step("pickle the onions", 60 * MIN, hands=8 * MIN, keeps=None),
        step("fry the cakes", 10 * MIN, hands=10 * MIN, keeps=10 * MIN),
        step("dress the leaves", hands=3 * MIN, keeps=10 * MIN),
    )
    with looked_for(in_its_units(plan, 300 * MIN)) as (model, cheap):
        (onions,) = [var for name, var in model.starts.items() if name == "pickle-the-onions"]
        model.model.minimize([(1, onions), *((1000 * weight, var) for weight, var in cheap.standing)])
        early = model.model.solve(effort=0.2, seconds=20.0)
        assert early is not None
        assert early.of(onions) == 0
        standing, fine = model.likings()[0].terms, model.likings()[-1].terms
        model.model.minimize([*((1000 * weight, var) for weight, var in standing), *fine])
        later = put_back(model, early)
        assert later.of(onions) == (300 - 60) * MIN // model.problem.unit_s
        assert later.total(standing) == early.total(standing)
