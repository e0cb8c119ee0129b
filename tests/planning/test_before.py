"""A rest beside the timeline before: what still stands is not moved."""

from __future__ import annotations

from dataclasses import replace

from kitchend.planning import PlanningSettings
from kitchend.planning.earliest import earliest_of, earliest_pass
from kitchend.planning.tasks import problem_of_plan
from tests.planning.dinners import HOUR, MIN, NOON, dinner, step
from tests.planning.test_rest import Evening, duck

ANSWER = PlanningSettings().answer_s


def two_fresh() -> Evening:
    """Two dressings that both want to be the last thing before the pass."""
    plan = dinner(
        step("dress the cress", hands=4 * MIN, keeps=20 * MIN),
        step("dress the fennel", hands=5 * MIN, keeps=20 * MIN),
    )
    return Evening(plan, HOUR)


def test_where_the_timeline_before_stands_nothing_moves_not_even_for_the_better() -> None:
    evening = two_fresh()
    first, last = sorted(("dress the cress", "dress the fennel"), key=evening.starts)
    before = evening.starts(first)
    assert evening.at(5 * MIN).drop(last).starts(first) == before


def test_another_pass_moves_what_has_to_be_fresh_though_the_timeline_before_would_stand() -> None:
    evening = two_fresh()
    first, last = sorted(("dress the cress", "dress the fennel"), key=evening.starts)
    before = evening.starts(first), evening.starts(last)
    evening.state = replace(evening.state, serve=NOON + HOUR + 10 * MIN)
    assert (evening.starts(first), evening.starts(last)) == (before[0] + 10 * MIN, before[1] + 10 * MIN)


def test_more_time_for_which_there_is_room_moves_nothing() -> None:
    evening = Evening(duck(), 3 * HOUR).do("brown the duck", 0).at(10 * MIN).finish("brown the duck")
    evening.do("braise the duck", 90 * MIN).planned()
    before = evening.starts("glaze the duck"), evening.starts("dress the salad")
    evening.at(95 * MIN).give("braise the duck", 2 * MIN)
    assert evening.ends("braise the duck") + ANSWER < before[0]
    assert (evening.starts("glaze the duck"), evening.starts("dress the salad")) == before


def test_nothing_is_sooner_than_order_allows() -> None:
    problem = problem_of_plan(duck(), 0, PlanningSettings())
    earliest = earliest_of(problem)
    braised = 10 * MIN + ANSWER + 80 * MIN
    assert earliest == {
        "brown-the-duck": 0,
        "braise-the-duck": 10 * MIN + ANSWER,
        "glaze-the-duck": braised + ANSWER,
        "dress-the-salad": 0,
    }
    assert earliest_pass(problem, earliest) == braised + ANSWER + 5 * MIN
