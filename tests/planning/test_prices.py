"""The bound by prices: never above the best there is, by trying everything and by what the solver proves."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from kitchend.core.plan import Plan, StepId
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import PlanningSettings
from kitchend.planning.listing import listed_plan
from kitchend.planning.priced import FINE, NEVER, Priced, Slide
from kitchend.planning.priced_oven import best_course
from kitchend.planning.prices import Bound, bound_of
from kitchend.planning.problem import Hot, Problem, weight_of
from kitchend.planning.relaxation import HANDS, HotOven, Relaxed, relaxed
from kitchend.planning.solving import solved
from kitchend.planning.tasks import problem_of_plan
from kitchend.planning.units import in_units, scale_of
from tests.planning.big_dinners import PLANS, holiday, shared
from tests.planning.dinners import HOUR, MIN, dinner, on, oven, step
from tests.planning.exhaustive import Cost, best
from tests.planning.suppers import feast, supper
from tests.planning.test_exhaustive import ANSWER_MIN, SETTINGS, small_dinner

CHOSEN = PlanningSettings()


def in_its_units(plan: Plan, serve_s: int, settings: PlanningSettings = CHOSEN) -> Problem:
    problem = problem_of_plan(plan, serve_s, settings)
    return in_units(problem, scale_of(problem))


def roomy(plan: Plan) -> Problem:
    earliest = listed_plan(problem_of_plan(plan, None, CHOSEN)).pass_s
    return in_its_units(plan, round(earliest * 1.3) // MIN * MIN)


def standing_of(problem: Problem, starts: dict[StepId, int]) -> int:
    """How long things stand, weighed, and how late reminders are, from the problem's own words."""
    total = 0
    for task in problem.tasks:
        end = starts[task.id] + task.length_s
        if task.during is not None:
            total += 3 * (starts[task.id] - starts[task.during] - task.at_s)
        elif task.keeps_s is not None:
            untils = [starts[other.id] for other in problem.tasks if task.id in other.after]
            if task.is_last:
                untils.append((problem.serve_s or 0) - task.before_pass_s)
            total += weight_of(task, problem) * sum(until - end for until in untils)
    return total


def proved(problem: Problem) -> tuple[dict[StepId, int], int] | None:
    """The best starts the solver proves, and how long things stand; None where something is amiss."""
    found = solved(replace(problem, settings=replace(problem.settings, effort=3.0)))
    assert found.gap == 0
    is_amiss = found.overruns_s or found.pass_s > (problem.serve_s or 0)
    return None if is_amiss else (found.starts, standing_of(problem, found.starts))


def check(bound: Bound, starts: dict[StepId, int], standing: int) -> None:
    assert bound.least <= standing
    for step_id, row in zip(bound.steps, bound.dearer, strict=True):
        assert FINE * (bound.least - 1) + row[starts[step_id]] <= FINE * standing, step_id


@pytest.mark.parametrize("batch", range(10))
def test_no_plan_of_all_stands_shorter_than_the_bound(batch: int) -> None:
    """Two hundred dinners of which every plan is tried."""
    chance, met, without = random.Random(500 + batch), 0, 0
    for _ in range(20):
        plan, serve = small_dinner(chance), chance.randint(5, 8)
        cost = best(plan, serve, ANSWER_MIN)
        bound = bound_of(in_its_units(plan, serve * MIN, SETTINGS), rounds=60)
        if cost == Cost(0, 0, 0, cost.standing):
            assert bound is not None
            assert bound.least <= cost.standing, (plan, serve)
            without += 1
            met += bound.least == cost.standing
    assert without > 5
    assert met > without / 2, "a bound that is mostly far away says little"


@pytest.mark.parametrize("seed", range(6))
def test_no_proved_supper_stands_shorter_than_the_bound(seed: int) -> None:
    """With ovens at temperatures that can and cannot be shared, and their heating."""
    found = 0
    for problem in (roomy(supper(20, seed)), roomy(feast(20, seed, cooks=1)), roomy(feast(24, seed))):
        answer, bound = proved(problem), bound_of(problem, rounds=120)
        if answer is not None:
            assert bound is not None
            check(bound, *answer)
            found += 1
    assert found > 0


@pytest.mark.parametrize(("name", "serve_min"), [("boathouse-sunday", 180), ("greenhouse-evening", 250)])
@pytest.mark.parametrize("cooks", [1, 2])
def test_plans_of_every_evening_stand_as_long_as_the_bound_and_little_longer(
    name: str, serve_min: int, cooks: int
) -> None:
    problem = in_its_units(replace(read_plan(PLANS / f"{name}.yaml"), cooks=cooks), serve_min * MIN)
    answer, bound = proved(problem), bound_of(problem)
    assert answer is not None
    assert bound is not None
    check(bound, *answer)
    assert bound.least >= 0.9 * answer[1]


def test_what_seven_dishes_of_a_holiday_must_stand_is_known_nearly_exactly() -> None:
    plan = holiday(0)
    problem = roomy(replace(plan, dishes=plan.dishes[:7]))
    answer, bound = proved(problem), bound_of(problem)
    assert answer is not None
    assert bound is not None
    check(bound, *answer)
    assert bound.least >= 0.98 * answer[1]


def test_a_big_dinner_says_how_far_it_may_be_from_the_best() -> None:
    problem = roomy(shared((75, 45, 0)))
    found, bound = solved(problem), bound_of(problem)
    assert bound is not None
    assert not found.overruns_s
    standing = standing_of(problem, found.starts)
    check(bound, found.starts, standing)
    assert found.gap in (0, pytest.approx((standing - bound.least) / standing, abs=1e-9))


def test_the_same_dinner_has_the_same_bound() -> None:
    problem = roomy(feast(30, 1))
    one, other = bound_of(problem, rounds=40), bound_of(problem, rounds=40)
    assert one is not None
    assert other is not None
    assert one.least == other.least
    assert np.array_equal(one.dearer, other.dearer)
    assert np.array_equal(one.dearer, np.rint(one.dearer)), (
        "whole numbers, so that no machine rounds otherwise"
    )


def test_prices_are_whole_and_any_prices_give_a_bound() -> None:
    problem = roomy(feast(20, 2))
    answer, dinner = proved(problem), relaxed(problem)
    assert answer is not None
    assert dinner is not None
    priced = Priced(dinner)
    chance = np.random.default_rng(3)
    for most in (1, 300, 5000):
        prices = np.rint(chance.random(priced.free.shape) ** 4 * most)
        found = priced.cheapest(prices)
        assert found.least == round(found.least)
        assert found.least <= FINE * answer[1]


def test_every_branch_takes_the_least_there_is() -> None:
    """The sliding minimum beside trying every start."""
    dinner = relaxed(roomy(feast(12, 4)))
    assert dinner is not None
    chance = np.random.default_rng(4)
    costs = np.rint(chance.random((len(dinner.branches), dinner.moments)) * 9000)
    for place, branch in enumerate(dinner.branches):
        low, high = dinner.low[branch.task], dinner.high[branch.task]
        costs[place, :low] = costs[place, high + 1 :] = NEVER
        slid = Slide(dinner, [branch]).of(costs[place : place + 1])[0]
        for at in range(dinner.low[branch.on], dinner.high[branch.on] + 1):
            some = range(max(0, at + branch.low), min(dinner.moments - 1, at + branch.high) + 1)
            link = branch.link
            wanted = min(costs[place, own] + FINE * link.weight * (abs(at - own) - link.free) for own in some)
            assert slid[at] == wanted or min(slid[at], wanted) >= NEVER / 2


def by_moments(oven_: HotOven, dinner: Relaxed, prices: np.ndarray, hands: np.ndarray) -> float:
    """What the best course is worth, moment by moment: at a set, or cold, or being heated until then."""
    end, never = dinner.moments, -1e15
    worth = {(at, place): never for at in range(end + 1) for place in range(len(oven_.sets))}
    for at in range(end + 1):
        for place, things in enumerate(oven_.sets):
            ways = []
            cold_at = at - oven_.cold - dinner.answer
            if cold_at >= 0:
                ways.append(-heating(dinner, hands, cold_at))
                ways.append(worth[cold_at, place] - heating(dinner, hands, cold_at))
            if at > 0:
                ways.append(worth[at - 1, place] + sum(prices[thing, at - 1] for thing in things))
            for other in range(len(oven_.sets)):
                turn = oven_.turns[other][place]
                if other != place and turn is not None and at - turn - dinner.answer >= 0:
                    before = at - turn - dinner.answer
                    ways.append(worth[before, other] - heating(dinner, hands, before))
            worth[at, place] = max(ways, default=never)
        for place in range(len(oven_.sets)):
            joined = [
                worth[at, o] for o in range(len(oven_.sets)) if o != place and oven_.turns[o][place] is None
            ]
            worth[at, place] = max([worth[at, place], *joined])
    return max(worth[end, place] for place in range(len(oven_.sets)))


def heating(dinner: Relaxed, hands: np.ndarray, at: int) -> float:
    return float(hands[min(at + dinner.heat_hands, dinner.moments)] - hands[at])


@pytest.mark.parametrize("seed", range(12))
def test_an_ovens_course_is_worth_as_much_as_moment_by_moment(seed: int) -> None:
    temperatures = [[180, 200], [180, 190, 200], [160, 180, 230], [180]][seed % 4]
    steps = [
        step(
            f"bake {turn}",
            20 * MIN,
            hands=MIN,
            uses=[oven(temperatures[turn % len(temperatures)])],
            keeps=HOUR,
        )
        for turn in range(6)
    ]
    dinner_ = relaxed(in_its_units(dinner(*steps, preheat=5 * MIN), 100 * MIN))
    assert dinner_ is not None
    (own,) = dinner_.ovens
    chance = np.random.default_rng(seed)
    prices = np.rint(chance.random((len(dinner_.capacity), dinner_.moments)) ** 3 * 50)
    hands = np.concatenate([[0.0], np.cumsum(prices[HANDS])])
    course = best_course(own, dinner_, prices, hands)
    wide = replace(own, uses=dinner_.moments)
    assert best_course(wide, dinner_, prices, hands).worth == by_moments(own, dinner_, prices, hands)
    gained = sum(prices[thing, a:b].sum() for thing, stretches in course.on.items() for a, b in stretches)
    paid = sum(heating(dinner_, hands, at) for at in course.heated)
    assert course.worth == gained - paid
    assert 1 <= len(course.heated) <= own.uses


def test_a_ring_of_steps_costs_at_least_what_it_must() -> None:
    """Sauce and rice are made from one stock and served in one bowl."""
    plan = dinner(
        step("boil the stock", 20 * MIN, hands=2 * MIN, uses=[on("hob")], keeps=30 * MIN),
        step("thicken the sauce", 10 * MIN, hands=3 * MIN, after=["boil the stock"], keeps=15 * MIN),
        step("cook the rice", 25 * MIN, hands=MIN, after=["boil the stock"], keeps=10 * MIN),
        step("fill the bowl", hands=2 * MIN, after=["thicken the sauce", "cook the rice"], keeps=5 * MIN),
    )
    problem = in_its_units(plan, 90 * MIN)
    dinner_, answer, bound = relaxed(problem), proved(problem), bound_of(problem)
    assert dinner_ is not None
    assert len(dinner_.branches) == 3
    assert dinner_.constant > 0
    assert answer is not None
    assert bound is not None
    check(bound, *answer)


def test_there_is_no_bound_where_nothing_could_be_had() -> None:
    plan = dinner(step("bake the bread", 60 * MIN, keeps=10 * MIN))
    assert bound_of(in_its_units(plan, 30 * MIN)) is None
    assert bound_of(problem_of_plan(plan, None, CHOSEN)) is None


def test_there_is_no_bound_where_hands_never_reach() -> None:
    """Eight dishes of ten minutes' work that keep two minutes."""
    plan = dinner(*(step(f"carve {turn}", hands=10 * MIN, keeps=2 * MIN) for turn in range(8)))
    assert bound_of(in_its_units(plan, 3 * HOUR)) is None


def test_there_is_no_bound_once_a_dinner_has_begun() -> None:
    plan = dinner(step("bake the bread", 60 * MIN, uses=[oven(200)], keeps=10 * MIN))
    problem = in_its_units(plan, 3 * HOUR)
    begun = replace(problem, tasks=tuple(replace(task, start_s=-5) for task in problem.tasks))
    hot = replace(
        problem,
        hot=(Hot(oven=problem.tasks[0].uses[0].equipment, celsius=200, start_s=-9, ready_s=0, end_s=0),),
    )
    assert bound_of(problem) is not None
    assert bound_of(begun) is None
    assert bound_of(hot) is None
