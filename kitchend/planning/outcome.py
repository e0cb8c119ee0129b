"""From a Solution back to a Timeline: wall times, steps kitchend added, how long things stand, what decides.

No choice is made here; the solution's times are only put into other words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kitchend.core.clock import WallTime
from kitchend.core.plan import Step, StepId
from kitchend.core.timeline import Conflict, Planned, Timeline
from kitchend.planning.chain import Place, places_of
from kitchend.planning.cooks import cooks_of
from kitchend.planning.heating import heating_step
from kitchend.planning.model import Solution
from kitchend.planning.problem import Problem, Task
from kitchend.planning.rush import busiest_of
from kitchend.planning.temperatures import heats_of
from kitchend.planning.ties import ties_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A problem and its solution, with the heatings as tasks among the others."""

    problem: Problem
    solution: Solution
    tasks: tuple[Task, ...]
    starts: Mapping[StepId, int]

    @property
    def added(self) -> tuple[Step, ...]:
        """The steps kitchend put in, those already called among them."""
        return tuple(task.step for task in self.tasks if task.step.added)

    @property
    def ready_s(self) -> int:
        """When the last thing ends, each dish seen from its own pass; the present if there is nothing."""
        return max((self.ends_s(task) + task.before_pass_s for task in self.tasks), default=0)

    @property
    def late_s(self) -> int:
        """Seconds from the pass asked for to when everything is there; 0 if none was asked for."""
        serve = self.problem.serve_s
        return 0 if serve is None else max(0, self.ready_s - serve)

    def ends_s(self, task: Task) -> int:
        """When a task ends."""
        return self.starts[task.id] + task.length_s

    def stands_s(self, task: Task) -> int:
        """How long the task's result stands before the last thing that follows, or the pass."""
        until = [self.starts[other.id] for other in self.tasks if task.id in other.after]
        if task.is_last:
            until.append(self.solution.pass_s - task.before_pass_s)
        return max(0, max(until, default=0) - self.ends_s(task))


def outcome_of(problem: Problem, solution: Solution) -> Outcome:
    """The solution with its heating steps made into tasks that come before what they are for."""
    tasks = {task.id: task for task in problem.tasks}
    starts = dict(solution.starts)
    for heating in sorted(solution.heatings, key=lambda heating: heating.start_s):
        step = heating_step(problem, heating, solution.starts)
        tasks[step.id] = Task(
            step=step,
            length_s=heating.length_s,
            hands_s=step.hands_s,
            uses=step.uses,
            keeps_s=step.keeps_s,
        )
        target = tasks[heating.task.id]
        tasks[target.id] = replace(target, after=(*target.after, step.id))
        starts[step.id] = heating.start_s
    return Outcome(problem=problem, solution=solution, tasks=tuple(tasks.values()), starts=starts)


def timeline_of(
    outcome: Outcome, origin: WallTime, serve: WallTime | None, conflicts: tuple[Conflict, ...]
) -> Timeline:
    """The timeline, earliest step first. With no serving time asked for, the pass is when all is ready."""
    ready = origin + outcome.ready_s
    tasks, starts = outcome.tasks, outcome.starts
    cooks = cooks_of(tasks, starts, outcome.problem)
    ties = ties_of(tasks, starts, outcome.problem, cooks)
    places = places_of(tasks, starts, ties, outcome.solution.pass_s, outcome.problem)
    planned = [
        _planned(outcome, task, origin, places[task.id], cooks[task.id]) for task in tasks if not task.is_over
    ]
    return Timeline(
        serve=ready if serve is None else serve,
        ready=ready,
        late_by_s=outcome.late_s,
        planned=tuple(
            sorted(planned, key=lambda place: (place.start.epoch_s, place.end.epoch_s, place.step))
        ),
        added=outcome.added,
        conflicts=conflicts,
        busiest=busiest_of(tasks, starts, outcome.problem.pairs_of_hands, origin),
        heats=heats_of(tasks, starts, origin),
        gap=outcome.solution.gap,
    )


def _planned(outcome: Outcome, task: Task, origin: WallTime, place: Place, cook: int) -> Planned:
    return Planned(
        step=task.id,
        start=origin + outcome.starts[task.id],
        end=origin + outcome.ends_s(task),
        slack_s=place.slack_s,
        decides=place.decides,
        stands_s=outcome.stands_s(task),
        waits_for=place.waits_for,
        cook=cook,
    )
