"""Two hundred random small dinners, planned by the planner and by trying everything: the same cost, wish by
wish.
"""

from __future__ import annotations

import random

import pytest

from kitchend.core.plan import Plan
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.dinners import MIN, NOON, NOW, dinner, on, step
from tests.planning.exhaustive import Cost, best, cost_of

ANSWER_MIN = 1
SETTINGS = PlanningSettings(answer_s=ANSWER_MIN * MIN, apart_s=0)
BATCH = 20


def small_dinner(chance: random.Random) -> Plan:
    """Three or four steps of up to three minutes, with hands, two rings, a steamer, and all kinds of
    `keeps`.
    """
    steps = []
    for place in range(chance.randint(3, 4)):
        hands = chance.choice([0, 0, 1, 2])
        uses = chance.choice([[], [on("hob")], [on("hob", 2)], [on("steamer")]])
        after = [f"step {before}" for before in range(place) if chance.random() < 0.35]
        takes = max(1, hands + chance.randint(0, 2))
        keeps = chance.choice([0, 1, 2, 5, None])
        kept = None if keeps is None else keeps * MIN
        steps.append(
            step(f"step {place}", takes * MIN, hands=hands * MIN, uses=uses, after=after, keeps=kept)
        )
    return dinner(*steps, cooks=chance.choice([1, 1, 2]), places={"hob": 2, "steamer": 1})


def planned(plan: Plan, serve: int) -> Cost:
    timeline = plan_dinner(plan, now=NOW, serve=NOON + serve * MIN, settings=SETTINGS)
    assert timeline.gap == 0
    starts = {}
    for place in timeline.planned:
        at, seconds = divmod(round(place.start - NOON), MIN)
        assert seconds == 0
        starts[place.step] = at
    return cost_of(plan, starts, serve, ANSWER_MIN)


@pytest.mark.parametrize("batch", range(200 // BATCH))
def test_the_plan_costs_what_the_best_of_all_plans_costs(batch: int) -> None:
    chance = random.Random(batch)
    for _ in range(BATCH):
        plan, serve = small_dinner(chance), chance.randint(4, 8)
        assert planned(plan, serve) == best(plan, serve, ANSWER_MIN), (plan, serve)


def test_the_small_dinners_are_of_all_kinds() -> None:
    """Else the comparison above would say little."""
    chance = random.Random(0)
    costs = []
    for _ in range(60):
        plan, serve = small_dinner(chance), chance.randint(4, 8)
        costs.append(planned(plan, serve))
    assert sum(cost.late > 0 for cost in costs) > 5
    assert sum(cost.over > 0 for cost in costs) > 5
    assert sum(cost.interruptions > 0 for cost in costs) > 0
    assert sum(cost == Cost(0, 0, 0, cost.standing) for cost in costs) > 5
