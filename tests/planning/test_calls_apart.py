"""Calls are half a minute apart where that costs nothing; to heat an oven is a call like any other."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from kitchend.core.plan import Equipment, EquipmentId, Plan, Use
from kitchend.core.quantities import Temperature
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, step

APART_S = PlanningSettings().apart_s


def soaks() -> Plan:
    """Three things that need no hands and keep as long as they like."""
    return dinner(*(step(f"soak the {what}", HOUR, keeps=None) for what in ("beans", "figs", "hay")))


def two_ovens() -> Plan:
    """Two ovens for two cooks, each with something to bake."""
    ovens = [Equipment(id=EquipmentId(name), name=name, places=1) for name in ("left oven", "right oven")]
    bakes = [
        step(
            f"bake in the {oven.name}",
            40 * MIN,
            hands=MIN,
            uses=[Use(equipment=oven.id, places=1, at=Temperature(degrees=180))],
            keeps=10 * MIN,
        )
        for oven in ovens
    ]
    return replace(dinner(*bakes, cooks=2), equipment=tuple(ovens))


@pytest.mark.parametrize("plan", [soaks(), two_ovens()], ids=["soaks", "ovens heated"])
def test_calls_that_may_be_apart_are(plan: Plan) -> None:
    timeline = plan_dinner(plan, now=NOW, serve=NOON + 3 * HOUR)
    heated = {step.id for step in timeline.added}
    calls = sorted(one.start for one in timeline.planned if not heated or one.step in heated)
    assert len(calls) == (len(heated) or 3)
    assert all(later - sooner >= APART_S for sooner, later in pairwise(calls))


def test_what_would_stand_longer_for_it_is_not_put_apart() -> None:
    plan = dinner(*(step(f"fry the {what}", 5 * MIN, keeps=5 * MIN) for what in ("fish", "chips")))
    timeline = plan_dinner(plan, now=NOW, serve=NOON + HOUR)
    assert {one.start for one in timeline.planned} == {timeline.serve - 5 * MIN}
