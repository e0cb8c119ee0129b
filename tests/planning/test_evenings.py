"""Whole evenings of the plans that come with it, through the real core: every rest keeps every rule."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.files.plan_yaml import read_plan
from kitchend.planning import PlanningSettings, plan_dinner, plan_rest
from tests.planning.checker import faults, freshness_faults
from tests.planning.dinners import MIN, NOW, harbour_supper
from tests.planning.evening import Evening

PLANS = Path(__file__).parents[2] / "plans"
IN_MIN = {"boathouse-sunday": 180, "greenhouse-evening": 250, "riverside-smoke": 590}
NAMES = sorted(IN_MIN)


def plan_of(name: str) -> Plan:
    return read_plan(PLANS / f"{name}.yaml")


def evening(name: str, **more: float) -> Evening:
    return Evening(plan_of(name), serve_s=IN_MIN[name] * MIN, **more)


def test_every_plan_that_comes_with_it_is_lived_through() -> None:
    assert sorted(path.stem for path in PLANS.glob("*.yaml")) == NAMES


class Checks:
    """Looks in every few minutes and keeps what is wrong, and in what states it found steps."""

    def __init__(self, every_min: int = 4) -> None:
        self.wrong: list[str] = []
        self.stale: list[str] = []
        self.seen: set[tuple[StepState, bool]] = set()
        self._every_min = every_min
        self._looks = 0

    def __call__(self, evening: Evening) -> None:
        self._looks += 1
        self.seen |= {(evening.state.state_of(step.id), step.added) for step in evening.state.steps}
        if self._looks % self._every_min == 0:
            kitchen = evening.kitchen()
            self.wrong += faults(kitchen)
            if not kitchen.timeline.conflicts:
                self.stale += freshness_faults(kitchen)


def moved(evening: Evening) -> list[tuple[str, float]]:
    """Waiting steps that planning again would put somewhere else, and by how much."""
    before = evening.state.timeline
    assert before is not None
    after = plan_rest(evening.state, now=evening.now)
    pairs = [(place, before.of(place.step)) for place in after.planned]
    return [
        (new.step, new.start - old.start)
        for new, old in pairs
        if old is not None and new.start != old.start and is_waiting(evening.state, new.step)
    ]


def is_waiting(state: DinnerState, step: object) -> bool:
    return any(one.id == step and state.state_of(one.id) is StepState.WAITING for one in state.steps)


def is_quiet(evening: Evening) -> bool:
    """Nothing waits for a word and no hands at work are over their time: time alone changes nothing."""
    steps = evening.state.steps
    states = {evening.state.state_of(step.id) for step in steps}
    soon = evening.now.instant + PlanningSettings().soon_s
    over = [
        step.id
        for step in steps
        if step.is_hands_only
        and evening.state.state_of(step.id) is StepState.ON
        and (began := evening.state.record_of(step.id).called_at) is not None
        and began + step.hands_s < soon
    ]
    return not over and not states & {StepState.CALLED, StepState.UP, StepState.HELD}


@pytest.mark.parametrize("name", NAMES)
def test_with_a_steady_cook_every_rest_keeps_every_rule_and_the_pass_is_met(name: str) -> None:
    checks = Checks()
    served = evening(name).live(checks).state.served_at
    assert served is not None
    assert served - NOW.wall < IN_MIN[name] * MIN + 60
    assert (checks.wrong, checks.stale) == ([], [])
    usual = {StepState.WAITING, StepState.ON, StepState.DONE}
    assert {(state, False) for state in usual} <= checks.seen


@pytest.mark.parametrize("name", NAMES)
def test_with_a_slow_cook_every_rest_keeps_every_rule(name: str) -> None:
    checks = Checks()
    evening(name, answer_s=200).live(checks)
    assert checks.wrong == []
    assert (StepState.CALLED, False) in checks.seen
    if name != "riverside-smoke":
        assert {(StepState.CALLED, True), (StepState.ON, True), (StepState.DONE, True)} <= checks.seen


@pytest.mark.parametrize("name", NAMES)
def test_while_nothing_changes_planning_again_moves_nothing(name: str) -> None:
    found: list[tuple[str, float]] = []
    quiet = 0

    def look(evening: Evening) -> None:
        nonlocal quiet
        if is_quiet(evening):
            quiet += 1
            found.extend(moved(evening))

    lived = evening(name).live(look)
    assert quiet > 20
    assert found == []
    assert lived.state.told_late_s == 0


def test_a_pass_nobody_asked_for_is_planned_again_to_the_same_times() -> None:
    now = NOW.after(17)
    timeline = plan_dinner(harbour_supper(), now=now, serve=None)
    state = DinnerState(plan=harbour_supper(), serve=timeline.serve, timeline=timeline)
    again = plan_rest(state, now=now)
    assert again.planned == timeline.planned
    assert again.late_by_s == 0


@pytest.mark.parametrize(
    ("at_min", "words", "state"),
    [
        (120, ["hold the turkey"], StepState.HELD),
        (120, ["ten more minutes on the turkey"], StepState.ON),
        (100, ["drop the rolls", "yes"], StepState.DROPPED),
        (60, ["serve fifteen minutes later"], StepState.ON),
        (60, ["serve ten minutes earlier"], StepState.ON),
        (90, ["time the eggs for nine minutes"], StepState.ON),
    ],
    ids=["hold", "more time", "drop", "later pass", "earlier pass", "own timer"],
)
def test_what_a_cook_says_in_between_leaves_every_rule_kept(
    at_min: int, words: list[str], state: StepState
) -> None:
    checks = Checks(every_min=3)
    minute = 0

    def look(evening: Evening) -> None:
        nonlocal minute
        minute += 1
        if minute == at_min:
            for phrase in words:
                evening.hear(phrase)
            assert state in {evening.state.state_of(step.id) for step in evening.state.steps}
        if minute == at_min + 20 and state is StepState.HELD:
            evening.hear("carry on with the turkey")
        checks(evening)

    evening("boathouse-sunday").live(look)
    assert checks.wrong == []
    assert (state, False) in checks.seen


def test_an_oven_is_not_turned_before_a_late_roast_is_out() -> None:
    lived = evening("boathouse-sunday")
    lived.readings_late_s = 50 * MIN
    states: list[DinnerState] = []
    lived.live(lambda evening: states.append(evening.state))
    records = {step.name: states[-1].record_of(step.id) for step in states[-1].steps}
    roast, turn = records["roast the turkey"], records["turn the oven to 200"]
    assert max(state.timeline.late_by_s for state in states if state.timeline is not None) > 15 * MIN
    assert roast.ended_at is not None
    assert turn.called_at is not None
    assert roast.ended_at <= turn.called_at
