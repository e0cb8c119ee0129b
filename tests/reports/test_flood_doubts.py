"""Where a plan would call too often, told with what to join."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.plan import Plan, Step
from kitchend.reports.flood_doubts import flood_doubts
from tests.core.evening import PLAN, TRIM, a_step, minutes, timeline


def many(count: int, *, in_a_row: bool) -> tuple[Plan, dict[object, tuple[float, float]]]:
    steps: list[Step] = []
    for n in range(count):
        after = (steps[-1].id,) if in_a_row and steps else ()
        steps.append(a_step(f"stuff tomato {n}", "greens", minutes(1), hands_s=60, after=after))
    times = {step.id: (20 + n * 0.8, 21 + n * 0.8) for n, step in enumerate(steps)}
    dish = replace(PLAN.dishes[1], steps=tuple(steps))
    return replace(PLAN, dishes=(dish,)), times  # type: ignore[return-value]  # ids are strings


def test_a_plan_that_floods_says_when_and_what_to_join() -> None:
    plan, times = many(12, in_a_row=True)
    text = "plan: x\n  - step: stuff tomato 0\n"
    (doubt,) = flood_doubts("hen.yaml", text, plan, timeline(times))  # type: ignore[arg-type]  # as above
    assert doubt.message == "between 18:18 and 18:35 it calls up to 12 times in ten minutes, a flood"
    assert doubt.hint == "make one step of 'stuff tomato 0' and 'stuff tomato 1'"
    assert doubt.line == 2


def test_where_nothing_can_be_joined_it_proposes_to_say_what_keeps() -> None:
    plan, times = many(12, in_a_row=False)
    (doubt,) = flood_doubts("hen.yaml", "", plan, timeline(times))  # type: ignore[arg-type]  # as above
    assert doubt.hint == "say how long things keep (`keeps:`), so that some can be done earlier"


def test_a_calm_plan_gets_no_doubt() -> None:
    plan, times = many(10, in_a_row=True)
    assert flood_doubts("hen.yaml", "", plan, timeline(times)) == ()  # type: ignore[arg-type]  # as above
    assert flood_doubts("hen.yaml", "", PLAN, timeline({TRIM.id: (20, 26)})) == ()
