"""What holds for any dinner, tried on random small ones and checked without a solver."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from kitchend.core import moves
from kitchend.core.clock import Now
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from kitchend.planning.listing import listed_plan
from kitchend.planning.outcome import outcome_of, timeline_of
from kitchend.planning.tasks import origin_of, problem_of_plan
from tests.planning.checker import Kitchen, faults, freshness_faults
from tests.planning.dinners import HOUR, MIN, NOON, NOW
from tests.planning.evening import past_of
from tests.planning.random_dinners import dinners

QUICK = PlanningSettings(effort=0.02, first_effort=0.02)
MANY = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink],
)
PLANS = sorted((Path(__file__).parents[2] / "plans").glob("*.yaml"))
SERVES = st.sampled_from([None, 10 * MIN, 40 * MIN, 2 * HOUR])


@MANY
@given(dinners(), SERVES)
def test_a_timeline_keeps_every_rule_of_the_kitchen(plan: Plan, in_s: int | None) -> None:
    serve = None if in_s is None else NOON + in_s
    timeline = plan_dinner(plan, now=NOW, serve=serve, settings=QUICK)
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=QUICK)) == []


@MANY
@given(dinners(), SERVES)
def test_what_stands_too_long_or_comes_late_is_said(plan: Plan, in_s: int | None) -> None:
    serve = None if in_s is None else NOON + in_s
    timeline = plan_dinner(plan, now=NOW, serve=serve, settings=QUICK)
    kitchen = Kitchen(plan=plan, timeline=timeline, now=NOW, settings=QUICK)
    is_late = timeline.late_by_s >= QUICK.explain_from_s
    assert bool(timeline.conflicts) or not (is_late or freshness_faults(kitchen))


@MANY
@given(dinners(), SERVES)
def test_planning_twice_gives_the_same(plan: Plan, in_s: int | None) -> None:
    serve = None if in_s is None else NOON + in_s
    first = plan_dinner(plan, now=NOW, serve=serve, settings=QUICK)
    assert plan_dinner(plan, now=NOW, serve=serve, settings=QUICK) == first


@MANY
@given(dinners(), SERVES)
def test_list_scheduling_keeps_every_rule_too(plan: Plan, in_s: int | None) -> None:
    problem = problem_of_plan(plan, in_s, QUICK)
    outcome = outcome_of(problem, listed_plan(problem))
    serve = None if in_s is None else NOON + in_s
    timeline = timeline_of(outcome, origin_of(NOW), serve, ())
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=QUICK)) == []


@MANY
@given(dinners(), st.integers(0, 60), st.randoms(use_true_random=False))
def test_the_rest_of_a_dinner_keeps_every_rule(plan: Plan, minutes: int, chance: object) -> None:
    timeline = plan_dinner(plan, now=NOW, serve=None, settings=QUICK)
    state = DinnerState(plan=plan, serve=timeline.serve, timeline=timeline)
    state, now = lived(state, minutes * MIN, chance)
    rest = plan_rest(state, now=now, settings=QUICK)
    moved = {step.id: state.state_of(step.id) for step in state.steps}
    over = frozenset(step for step, at in moved.items() if at in (StepState.DONE, StepState.DROPPED))
    going = frozenset(step for step, at in moved.items() if at is not StepState.WAITING) - over
    kitchen = Kitchen(
        plan=plan, timeline=rest, now=now, settings=QUICK, going=going, over=over, past=past_of(state, now)
    )
    assert faults(kitchen) == []


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_plans_that_come_with_it_keep_every_rule(path: Path) -> None:
    plan = read_plan(path)
    timeline = plan_dinner(plan, now=NOW, serve=None)
    kitchen = Kitchen(plan=plan, timeline=timeline, now=NOW, settings=PlanningSettings())
    assert faults(kitchen) == []
    assert freshness_faults(kitchen) == []
    assert timeline.is_feasible


def lived(state: DinnerState, seconds: int, chance: object) -> tuple[DinnerState, Now]:
    """The dinner so many seconds on, with a cook who is now and then late."""
    assert state.timeline is not None
    late = 0.0
    for planned in state.timeline.planned:
        late += chance.choice([0, 0, 20, 90])  # type: ignore[attr-defined]  # hypothesis gives a Random
        begin, end = planned.start - NOON + late, planned.end - NOON + late
        step = state.step(planned.step)
        if begin > seconds or any(not state.record_of(before).has_ended for before in step.after):
            continue
        state = moves.call(state, step, NOW.after(begin)) or state
        if begin + 30 <= seconds:
            state = moves.start(state, step, NOW.after(begin + 30)) or state
        if end + 30 <= seconds:
            state = moves.finish(state, step.id, NOW.after(end + 30)) or state
    return state, NOW.after(seconds)
