"""What is on, what is next, are we on time: the state as facts for screens and programs.

Derived from the state and the present, never kept. Times are wall times, durations seconds; words for people
are made elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from kitchend.core import forecasting
from kitchend.core.clock import Now, WallTime
from kitchend.core.forecasts import Outlook
from kitchend.core.pass_talk import late_s, passes_to_come
from kitchend.core.plan import Step, StepId
from kitchend.core.progress import coming, expected_end
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.timers import timer_of_step

GOING = frozenset({StepState.CALLED, StepState.ON, StepState.UP, StepState.HELD})


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreRead:
    """What a step's core was last read, and what is expected of it; degrees Celsius.

    `refused_c` is a reading since then that could not be and was left out. `low` to `high` is an 80 % range,
    None where no moment is promised; of `pull_c` where the plan's number is for the table.
    """

    celsius: float | None
    at: WallTime | None
    refused_c: float | None
    outlook: Outlook | None = None
    low: WallTime | None = None
    middle: WallTime | None = None
    high: WallTime | None = None
    pull_c: float | None = None
    carry_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingStep:
    """A step that has been called and not ended. `left_s` is its timer's, None without one."""

    step: StepId
    dish: str
    name: str
    state: StepState
    left_s: float | None
    ends: WallTime
    core: CoreRead | None = None


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
        core=core_read(state, step, now),
    )


def core_read(state: DinnerState, step: Step, now: Now) -> CoreRead | None:
    """What is known of a step's core; None for one that was never read."""
    read = forecasting.readings_of(state, step.id)
    refused = next((one.celsius for one in state.refused if one.of == step.id), None)
    if step.until is None or (not read and refused is None):
        return None
    core = CoreRead(
        celsius=read[-1].celsius if read else None,
        at=now.wall_of(read[-1].at) if read else None,
        refused_c=refused,
    )
    known = forecasting.current(state, step)
    if known is None:
        return core
    return replace(
        core,
        outlook=known.outlook,
        low=None if known.low is None else now.wall_of(known.low),
        middle=None if known.middle is None else now.wall_of(known.middle),
        high=None if known.high is None else now.wall_of(known.high),
        pull_c=known.pull_c,
        carry_c=known.carry_c,
    )


def _coming(state: DinnerState, step: Step, planned: Planned) -> ComingStep:
    return ComingStep(step=step.id, dish=dish_name(state, step), name=step.name, start=planned.start)


def dish_name(state: DinnerState, step: Step) -> str:
    """The name of the dish a step belongs to; for what kitchend added, the equipment's."""
    dishes = state.plan.dishes if state.plan is not None else ()
    return next((dish.name for dish in dishes if dish.id == step.dish), str(step.dish))
