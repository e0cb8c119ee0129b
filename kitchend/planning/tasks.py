"""From a Plan, or a dinner half done, to a Problem. The only place where steps' states turn into facts.

What has ended is a fact and takes nothing. What is on, held or up has its end from `core.progress`, the one
place that says when a step will end. What was called stays called. The rest may be planned, from now.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from kitchend.core.clock import Now, WallTime
from kitchend.core.forecasting import takes_by_forecast
from kitchend.core.plan import Plan, Step, StepId
from kitchend.core.progress import READING_GRACE_S, expected_end
from kitchend.core.rests import looks_after_itself
from kitchend.core.room import IN_PLACE
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from kitchend.core.timeline import Planned
from kitchend.core.timers import timer_of_step
from kitchend.planning.chance_spread import spread_of
from kitchend.planning.heating import hot_facts
from kitchend.planning.problem import Problem, Task
from kitchend.planning.settings import PlanningSettings


def origin_of(now: Now) -> WallTime:
    """The whole second at or after now; every planned time is so many seconds from it."""
    return WallTime(math.ceil(now.wall.epoch_s), now.wall.offset_s)


def problem_of_plan(plan: Plan, serve_s: int | None, settings: PlanningSettings) -> Problem:
    """The problem of a dinner of which nothing has happened yet."""
    return Problem(
        tasks=tuple(_linked(plan, plan.steps)),
        cooks=plan.cooks,
        equipment=plan.equipment,
        dishes=plan.dishes,
        serve_s=serve_s,
        language=plan.language,
        settings=replace(settings, effort=settings.first_effort),
    )


def tasks_of_rest(state: DinnerState) -> tuple[Task, ...]:
    """The tasks of a dinner half done as they would be if nothing had happened, without what was dropped."""
    if state.plan is None:
        raise ValueError("no dinner is on")
    steps = [step for step in state.plan.steps if state.state_of(step.id) is not StepState.DROPPED]
    return tuple(_linked(state.plan, _without_dropped(state, state.plan.steps, steps)))


def with_forecasts(state: DinnerState, tasks: Sequence[Task]) -> tuple[Task, ...]:
    """The same tasks, what is on taking as long as a forecast of its readings says."""
    return tuple(_by_forecast(state, task) for task in tasks)


def _by_forecast(state: DinnerState, task: Task) -> Task:
    if state.state_of(task.id) not in IN_PLACE:
        return task
    takes = takes_by_forecast(state, task.step)
    return task if takes is None else replace(task, step=replace(task.step, takes=takes))


def problem_of_rest(
    state: DinnerState, now: Now, settings: PlanningSettings, wanted: Sequence[Task]
) -> Problem:
    """The problem of everything not yet on, with what is true now as facts.

    `wanted` are its `tasks_of_rest`, with the length each is given.
    """
    if state.plan is None:
        raise ValueError("no dinner is on")
    origin = origin_of(now)
    before = () if state.timeline is None else reversed(state.timeline.planned)
    facts = _Facts(state, now, origin, settings, {planned.step: planned for planned in before})
    tasks = [facts.of(task) for task in wanted]
    heated = [step for step in state.added if state.state_of(step.id) is not StepState.WAITING]
    running = [step for step in heated if not state.record_of(step.id).has_ended]
    tasks += [facts.of(_task(step, (), is_last=False)) for step in running]
    called = _with_called(tasks, state, settings)
    return Problem(
        tasks=called,
        cooks=state.plan.cooks,
        equipment=state.plan.equipment,
        language=state.plan.language,
        serve_s=None if state.serve is None else math.floor(state.serve - origin),
        hot=hot_facts(state, called, facts.seconds),
        used_ids=frozenset(step.id for step in heated),
        is_same_pass=state.timeline is not None and state.timeline.serve == state.serve,
        settings=settings,
    )


def _linked(plan: Plan, steps: Sequence[Step]) -> Iterable[Task]:
    """Tasks of these steps, following only each other; a reminder past its step's planned end is left out."""
    known = {step.id: step for step in steps if _is_wanted(step, steps)}
    before_pass_s = {dish.id: dish.before_pass_s for dish in plan.dishes}
    followed = {before for step in known.values() if step.during is None for before in step.after}
    for step in known.values():
        after = [before for before in step.after if before in known]
        hosts = [host for before in after if (host := known[before].during) is not None and host in known]
        is_last = step.id not in followed and step.during is None
        before_s = before_pass_s.get(step.dish, 0)
        yield _task(step, tuple(dict.fromkeys((*after, *hosts))), is_last=is_last, before_pass_s=before_s)


def _is_wanted(step: Step, steps: Sequence[Step]) -> bool:
    if step.during is None:
        return True
    host = next((other for other in steps if other.id == step.during), None)
    return host is not None and (step.at_s or 0) < max(host.takes.high_s, host.hands_s)


def _task(step: Step, after: tuple[StepId, ...], *, is_last: bool, before_pass_s: int = 0) -> Task:
    return Task(
        step=step,
        length_s=max(step.takes.high_s, step.hands_s),
        hands_s=step.hands_s,
        uses=step.uses,
        after=after,
        keeps_s=step.keeps_s,
        is_last=is_last,
        before_pass_s=before_pass_s,
        during=step.during,
        at_s=step.at_s or 0,
        is_called=not looks_after_itself(step),
    )


def _without_dropped(state: DinnerState, plan: Sequence[Step], steps: Sequence[Step]) -> list[Step]:
    """The steps left, each following what its dropped predecessors followed; reminders go with their step."""
    every = {step.id: step for step in plan}
    left = {step.id for step in steps}

    def real(before: StepId, seen: frozenset[StepId]) -> tuple[StepId, ...]:
        if before in left or before not in every or before in seen:
            return (before,)
        nearer = seen | {before}
        return tuple(root for further in every[before].after for root in real(further, nearer))

    kept = [step for step in steps if step.during is None or step.during in left]
    if all(before in left for step in kept for before in step.after):
        return kept
    return [
        replace(
            step,
            after=tuple(dict.fromkeys(root for before in step.after for root in real(before, frozenset()))),
        )
        for step in kept
    ]


@dataclass(frozen=True, slots=True)
class _Facts:
    """What has happened, as seconds from the origin."""

    state: DinnerState
    now: Now
    origin: WallTime
    settings: PlanningSettings
    before: Mapping[StepId, Planned]
    """What the timeline before had of each step."""

    def of(self, task: Task) -> Task:
        """The task with what has happened to its step."""
        record = self.state.record_of(task.id)
        was_over_s = self._was_over_s(task)
        if record.has_ended:
            return replace(self._over(task), was_over_s=was_over_s)
        was_cook = self._was_cook(task.id)
        if record.state in IN_PLACE:
            return replace(self._running(task), was_over_s=was_over_s, was_cook=was_cook)
        if record.state is StepState.CALLED:
            return replace(self._called(task), was_over_s=was_over_s, was_cook=was_cook)
        return replace(task, was_over_s=was_over_s, was_cook=was_cook, was_s=self._was_s(task.id))

    def seconds(self, instant_s: float) -> int:
        """A running-time instant as seconds from the origin, rounded up."""
        since_now = instant_s - self.now.instant.s
        return math.ceil(since_now + (self.now.wall.epoch_s - self.origin.epoch_s))

    def _over(self, task: Task) -> Task:
        """What has ended; brought to a pass that has been called, it says nothing of those to come."""
        ended = self.state.record_of(task.id).ended_at
        end = 0 if ended is None else min(0, self.seconds(ended.s))
        if task.before_pass_s in self.state.passes_called:
            task = replace(task, before_pass_s=0, is_last=False)
        return replace(task, start_s=end, length_s=0, hands_until_s=0, is_over=True)

    def _running(self, task: Task) -> Task:
        record = self.state.record_of(task.id)
        on_at = record.called_at or record.on_at or self.now.instant
        start = min(0, self.seconds(on_at.s))
        shift = self._shift_s(task.step, start)
        end = max(0, self.seconds(expected_end(self.state, task.step, self.now).s))
        if task.step.is_hands_only:
            end = max(end, self.settings.soon_s)
        if end > 0 and spread_of(task.step) is not None:
            # What is on past its time is given a little more, again and again: no guess is made twice.
            end = max(start + task.length_s + shift, READING_GRACE_S)
        hands = min(end, start + task.hands_s) if record.state is StepState.ON else 0
        return replace(task, start_s=start, length_s=end - start, hands_until_s=max(0, hands), shift_s=shift)

    def _shift_s(self, step: Step, start_s: int) -> int:
        """How much later its time runs out than the high end of its range; 0 without a clock."""
        timer = timer_of_step(self.state.timers, step.id)
        left = None
        if timer is not None and self.state.state_of(step.id) is StepState.HELD:
            left = timer.remaining_s(self.now.instant) + timer.spread_s
        elif timer is not None and timer.due is not None:
            left = timer.due + timer.spread_s - self.now.instant
        return 0 if left is None else round(left - start_s - step.takes.high_s)

    def _called(self, task: Task) -> Task:
        """Called and not yet on: from now, unless something before it is itself still to be planned."""
        return replace(task, start_s=0, hands_until_s=task.hands_s)

    def _was_cook(self, step: StepId) -> int | None:
        planned = self._was(step)
        return None if planned is None else planned.cook

    def _was(self, step: StepId) -> Planned | None:
        return self.before.get(step)

    def _was_over_s(self, task: Task) -> int | None:
        planned = self._was(task.id)
        host = None if task.during is None else self._was(task.during)
        if planned is None:
            return None
        if host is not None:
            late_s = planned.start - host.start - task.at_s - self.settings.reminder_slack_s
            return max(0, math.ceil(late_s))
        return 0 if task.keeps_s is None else max(0, planned.stands_s - task.keeps_s)

    def _was_s(self, step: StepId) -> int | None:
        planned = self._was(step)
        return None if planned is None else round(planned.start - self.origin)


def _with_called(tasks: list[Task], state: DinnerState, settings: PlanningSettings) -> tuple[Task, ...]:
    """Called steps end one after the other, as one cook does them; one whose turn is not yet is planned."""
    known = {task.id: task for task in tasks}
    busy = max((task.hands_until_s for task in tasks if not _is_called(state, task)), default=0)
    for task in sorted((t for t in tasks if _is_called(state, t)), key=lambda t: _called_at(state, t)):
        before = [known[step] for step in task.after]
        if any(not other.is_fact for other in before):
            known[task.id] = replace(task, start_s=None, hands_until_s=0, was_s=0)
            continue
        begins = max([busy, *(other.end_s for other in before)])
        busy = begins + task.hands_s + settings.answer_s
        known[task.id] = replace(task, length_s=begins + task.length_s, hands_until_s=begins + task.hands_s)
    return tuple(known.values())


def _is_called(state: DinnerState, task: Task) -> bool:
    return state.state_of(task.id) is StepState.CALLED


def _called_at(state: DinnerState, task: Task) -> float:
    called = state.record_of(task.id).called_at
    return 0.0 if called is None else called.s
