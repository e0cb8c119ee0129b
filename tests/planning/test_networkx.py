"""Two hundred random plans that share nothing, against networkx: lengths, latest starts, what decides."""

from __future__ import annotations

import random

import networkx as nx
import pytest

from kitchend.core.plan import Plan
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.dinners import MIN, NOON, NOW, dinner, step

SETTINGS = PlanningSettings()
BATCH = 25


def random_plan(chance: random.Random) -> Plan:
    """Up to fourteen steps without hands, each after some of those before it."""
    steps = []
    for place in range(chance.randint(1, 14)):
        after = [f"step {before}" for before in range(place) if chance.random() < 2 / (place + 1)]
        steps.append(step(f"step {place}", chance.randint(1, 90) * MIN, after=after, keeps=None))
    return dinner(*steps)


def graph_of(plan: Plan) -> nx.DiGraph:
    """An arc from each step to each that follows, as long as the step takes; "end" follows all."""
    graph = nx.DiGraph()
    for one in plan.steps:
        graph.add_edge(one.id, "end", weight=one.takes.high_s)
        graph.add_weighted_edges_from(
            (before, one.id, plan.step(before).takes.high_s) for before in one.after
        )
    return graph


def to_end(graph: nx.DiGraph, name: str) -> float:
    onward = graph.subgraph({*nx.descendants(graph, name), name})
    return float(nx.dag_longest_path_length(onward))


@pytest.mark.parametrize("batch", range(200 // BATCH))
def test_without_anything_shared_the_length_is_the_longest_path(batch: int) -> None:
    chance = random.Random(batch)
    for _ in range(BATCH):
        plan = random_plan(chance)
        timeline = plan_dinner(plan, now=NOW, serve=None, settings=SETTINGS)
        assert timeline.ready - NOON == nx.dag_longest_path_length(graph_of(plan))


@pytest.mark.parametrize("batch", range(200 // BATCH))
def test_planned_for_a_later_pass_each_step_may_slip_to_its_latest_start_and_no_further(batch: int) -> None:
    chance = random.Random(100 + batch)
    for _ in range(BATCH):
        plan = random_plan(chance)
        graph = graph_of(plan)
        length = nx.dag_longest_path_length(graph)
        timeline = plan_dinner(plan, now=NOW, serve=NOON + length + 600, settings=SETTINGS)
        assert timeline.late_by_s == 0
        for place in timeline.planned:
            latest = length + 600 - to_end(graph, place.step)
            assert place.start - NOON + place.slack_s == latest
            is_on_longest = to_end(graph, place.step) + _from_start(graph, place.step) == length
            assert place.is_critical == is_on_longest


def _from_start(graph: nx.DiGraph, name: str) -> float:
    return float(nx.dag_longest_path_length(graph.subgraph({*nx.ancestors(graph, name), name})))
