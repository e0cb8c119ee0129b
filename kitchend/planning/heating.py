"""The heating steps kitchend adds: names that stay the same from plan to plan, and what ovens are set to now.

A heating is named after its oven and the first step that needs it, so that a call already made is known
again.
A name that had its call is never used for a second heating.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from kitchend.core.clock import Instant
from kitchend.core.plan import DishId, Step, StepId, Use, can_share
from kitchend.core.quantities import DurationRange
from kitchend.core.state import DinnerState
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.planning.model import Heating
from kitchend.planning.problem import Hot, Problem, Task


@of_state
def heating_step(problem: Problem, heating: Heating, starts: Mapping[StepId, int]) -> Step:
    """The step that tells the cook to heat an oven, or to turn a hot one to another temperature.

    It stands in no dish of the plan: its `dish` is the oven's own id. It takes none of the oven's places.
    It is `after` whatever has to be out first, so that nobody turns an oven on a roast that takes its time.
    """
    oven = problem.place(heating.use.equipment)
    degrees = f"{heating.use.at.degrees:g}" if heating.use.at else ""
    verb = "heat" if heating.is_cold else "turn"
    length = heating.length_s
    return Step(
        id=_fresh(f"{oven.id}/heat to {degrees} before {heating.task.id}", problem.used_ids),
        dish=DishId(oven.id),
        name=clause(verb, oven=oven.name, degrees=degrees),
        hands_s=problem.settings.heat_hands_s,
        takes=DurationRange(low_s=length, high_s=length),
        uses=(Use(equipment=oven.id, places=0, at=heating.use.at),),
        after=tuple(_out_first(problem, heating, starts)),
        keeps_s=problem.settings.heat_wait_s,
        added=True,
    )


def _out_first(problem: Problem, heating: Heating, starts: Mapping[StepId, int]) -> Iterable[StepId]:
    """Steps that are over before this heating and could not stand it."""
    for task in problem.tasks:
        is_before = starts[task.id] + task.length_s <= heating.start_s and not task.is_over
        if is_before and any(_would_suffer(use, heating.use) for use in task.uses):
            yield task.id


def _would_suffer(use: Use, heated: Use) -> bool:
    if use.equipment != heated.equipment or use.at is None or heated.at is None:
        return False
    return not can_share(use.at.celsius, heated.at.celsius)


def _fresh(name: str, used: frozenset[StepId]) -> StepId:
    while name in used:
        name += " again"
    return StepId(name)


def hot_facts(state: DinnerState, tasks: Sequence[Task], seconds: Callable[[float], int]) -> tuple[Hot, ...]:
    """What ovens are set to now: by what is on or called, and by the last thing that went on before.

    `seconds` turns a running-time instant into seconds from the origin.
    """
    running = [hot for task in tasks if task.is_fact and not task.is_over for hot in _hot(task)]
    ended = [
        hot
        for step in state.steps
        if state.record_of(step.id).has_ended
        for hot in _was(state, step, seconds)
    ]
    last = {hot.oven: hot for hot in sorted(ended, key=lambda hot: (hot.start_s, hot.end_s))}
    for hot in running:
        if hot.oven in last and last[hot.oven].start_s <= hot.start_s:
            del last[hot.oven]
    return (*last.values(), *running)


def _hot(task: Task) -> Iterable[Hot]:
    start = task.start_s or 0
    for use in task.uses:
        if use.at is not None:
            yield Hot(
                oven=use.equipment,
                celsius=use.at.celsius,
                start_s=start,
                ready_s=task.end_s if task.step.added else start,
                end_s=task.end_s,
                waits=task.step.added,
            )


def _was(state: DinnerState, step: Step, seconds: Callable[[float], int]) -> Iterable[Hot]:
    record = state.record_of(step.id)
    began: Instant | None = record.called_at or record.on_at if step.added else record.on_at
    if began is None or record.ended_at is None:
        return
    start, end = seconds(began.s), min(0, seconds(record.ended_at.s))
    for use in step.uses:
        if use.at is not None:
            yield Hot(
                oven=use.equipment,
                celsius=use.at.celsius,
                start_s=min(start, end),
                ready_s=end,
                end_s=end,
                waits=step.added,
            )
