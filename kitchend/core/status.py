"""What is on, what is next, are we on time: the state as facts for screens and programs.

Derived from the state and the present, never kept. Times are wall times, durations seconds; words for people
are made elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.clock import Now, WallTime
from kitchend.core.pass_talk import late_s, passes_to_come
from kitchend.core.plan import Step, StepId
from kitchend.core.progress import coming, expected_end
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.timers import timer_of_step

GOING = frozenset({StepState.CALLED, StepState.ON, StepState.UP, StepState.HELD})


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingStep:
    """A step that has been called and not ended. `left_s` is its timer's, None without one."""

    step: StepId
    dish: str
    name: str
    state: StepState
    left_s: float | None
    ends: WallTime


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingStep:
    """A waiting step and its planned start."""

    step: StepId
    dish: str
    name: str
    start: WallTime


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTimer:
    """A timer the cook asked for."""

    name: str
    left_s: float
    is_held: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Status:
    """The whole picture. `plan` is None while no dinner is on; `done` and `total` count the plan's steps.

    `passes` are those to come, the last of them at `serve`; `late_by_s` is how late the latest is.
    """

    plan: str | None
    serve: WallTime | None
    passes: tuple[WallTime, ...]
    ready: WallTime | None
    late_by_s: int
    done: int
    total: int
    going: tuple[GoingStep, ...]
    coming: tuple[ComingStep, ...]
    timers: tuple[OwnTimer, ...]
    asked: str | None
    last_words: str


def status_of(state: DinnerState, now: Now) -> Status:
    """The state as facts, seen from now."""
    steps = state.plan.steps if state.plan is not None else ()
    timeline = state.timeline
    return Status(
        plan=state.plan.name if state.plan is not None else None,
        serve=state.serve,
        passes=() if state.serve is None else tuple(one.at(state.serve) for one in passes_to_come(state)),
        ready=timeline.ready if timeline is not None else None,
        late_by_s=late_s(state.plan, timeline) if state.plan is not None and timeline is not None else 0,
        done=sum(1 for step in steps if state.record_of(step.id).has_ended),
        total=len(steps),
        going=tuple(_going(state, step, now) for step in state.steps if state.state_of(step.id) in GOING),
        coming=tuple(_coming(state, step, planned) for step, planned in coming(state)),
        timers=tuple(
            OwnTimer(name=timer.name, left_s=timer.remaining_s(now.instant), is_held=timer.is_held)
            for timer in state.timers
            if timer.step is None
        ),
        asked=state.asked.text if state.asked is not None else None,
        last_words=state.last_words,
    )


def _going(state: DinnerState, step: Step, now: Now) -> GoingStep:
    timer = timer_of_step(state.timers, step.id)
    return GoingStep(
        step=step.id,
        dish=dish_name(state, step),
        name=step.name,
        state=state.state_of(step.id),
        left_s=timer.remaining_s(now.instant) if timer is not None else None,
        ends=now.wall_of(expected_end(state, step, now)),
    )


def _coming(state: DinnerState, step: Step, planned: Planned) -> ComingStep:
    return ComingStep(step=step.id, dish=dish_name(state, step), name=step.name, start=planned.start)


def dish_name(state: DinnerState, step: Step) -> str:
    """The name of the dish a step belongs to; for what kitchend added, the equipment's."""
    dishes = state.plan.dishes if state.plan is not None else ()
    return next((dish.name for dish in dishes if dish.id == step.dish), str(step.dish))
