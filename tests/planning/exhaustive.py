"""The best plan of a few steps by trying every one: whole minutes, no solver, no code of the planner's.

Only what it is to judge by is taken from the planner: how much a second of standing weighs. Ovens are left
out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from kitchend.core.plan import Plan, Step, StepId
from kitchend.planning.problem import standing_weight

MIN = 60
Starts = dict[StepId, int]


@dataclass(frozen=True, order=True)
class Cost:
    """The wishes in their order: minutes late, minutes stood too long (weighed), calls in busy hands,
    standing.
    """

    late: int
    over: int
    interruptions: int
    standing: int


def best(plan: Plan, serve: int, answer: int) -> Cost:
    """The least cost of any plan that keeps every rule; `serve` and `answer` in minutes."""
    steps = list(plan.steps)
    late = 0
    while True:
        found = [cost_of(plan, starts, serve, answer) for starts in _all(plan, steps, serve + late, answer)]
        if found:
            return min(found)
        late += 1


def cost_of(plan: Plan, starts: Starts, serve: int, answer: int) -> Cost:
    """What these starts cost. Does not ask whether they keep the rules."""
    ends = {step.id: starts[step.id] + _length(step) for step in plan.steps}
    passed = max([serve, *ends.values()])
    over = standing = 0
    for step in plan.steps:
        weight = standing_weight(step.keeps_s)
        followers = [other for other in plan.steps if step.id in other.after]
        untils = [(starts[other.id], _gap(step, other, answer)) for other in followers] or [(passed, 0)]
        for until, gap in untils if step.keeps_s is not None else ():
            standing += weight * (until - ends[step.id])
            over += weight * max(0, until - ends[step.id] - max((step.keeps_s or 0) // MIN, gap))
    return Cost(passed - serve, over, sum(_interruptions(plan, starts, answer)), standing)


def _interruptions(plan: Plan, starts: Starts, answer: int) -> Iterator[bool]:
    """Whether each call of a step without hands finds nobody free; a rest of a dish is not called."""
    busy = [(starts[s.id], starts[s.id] + s.hands_s // MIN + answer) for s in plan.steps if s.hands_s]
    for step in plan.steps:
        if step.hands_s == 0 and (step.uses or not step.after):
            minutes = range(starts[step.id], starts[step.id] + answer)
            yield any(sum(a <= at < b for a, b in busy) >= plan.cooks for at in minutes)


def _all(plan: Plan, steps: list[Step], passed: int, answer: int) -> Iterator[Starts]:
    """Every way to start the steps in whole minutes that keeps the rules and is over by the pass."""
    windows = [range(passed - _length(step) + 1) for step in steps]
    for chosen in product(*windows):
        starts = {step.id: at for step, at in zip(steps, chosen, strict=True)}
        if _is_in_order(steps, starts, answer) and _fits(plan, steps, starts, answer):
            yield starts


def _is_in_order(steps: list[Step], starts: Starts, answer: int) -> bool:
    known = {step.id: step for step in steps}
    return all(
        starts[step.id] >= starts[before] + _length(known[before]) + _gap(known[before], step, answer)
        for step in steps
        for before in step.after
    )


def _fits(plan: Plan, steps: list[Step], starts: Starts, answer: int) -> bool:
    """Hands and places, looked at whenever something starts."""
    for at in set(starts.values()):
        hands = [
            s for s in steps if s.hands_s and starts[s.id] <= at < starts[s.id] + s.hands_s // MIN + answer
        ]
        if len(hands) > plan.cooks:
            return False
        going = [step for step in steps if starts[step.id] <= at < starts[step.id] + _length(step)]
        for item in plan.equipment:
            if sum(use.places for s in going for use in s.uses if use.equipment == item.id) > item.places:
                return False
    return True


def _gap(before: Step, step: Step, answer: int) -> int:
    return answer if before.hands_s or step.hands_s else 0


def _length(step: Step) -> int:
    return max(step.takes.high_s, step.hands_s) // MIN
