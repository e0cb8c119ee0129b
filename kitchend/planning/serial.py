"""The plan of last resort: one thing after the other, in an order that respects what comes before what.

Pure and quick, no solver. Right by construction: nothing but a mid-step reminder and its step ever overlap.
It is long, and late when time is short.
"""

from __future__ import annotations

from kitchend.core.plan import EquipmentId, StepId, Use
from kitchend.planning.model import Heating, Solution
from kitchend.planning.problem import Problem, Task, can_share


def one_after_the_other(problem: Problem) -> Solution:
    """A solution without any search; facts stay where they are."""
    line = _Line(problem)
    line.add_reminders_of_facts()
    for task in in_order(problem):
        if not task.is_fact and task.during is None:
            line.add(task)
    line.move_to_pass()
    return line.solution()


def in_order(problem: Problem) -> list[Task]:
    """The tasks so that each comes after all it waits for; a circle is cut where it is first met."""
    done: set[StepId] = set()
    ordered: list[Task] = []
    waiting = list(problem.tasks)
    while waiting:
        ready = [task for task in waiting if done.issuperset(task.after)] or waiting[:1]
        for task in ready:
            done.add(task.id)
            ordered.append(task)
        waiting = [task for task in waiting if task.id not in done]
    return ordered


class _Line:
    """The line of things so far, and what each oven was last set to."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._starts = {task.id: task.start_s or 0 for task in problem.tasks if task.is_fact}
        facts = [task.end_s for task in problem.tasks if task.is_fact and not task.is_over]
        self._free_s = max([0, *facts, *(hot.ready_s for hot in problem.hot)])
        self._busy_s = max([0, *(task.hands_until_s for task in problem.tasks)])
        self._heatings: list[Heating] = []
        self._hot: dict[EquipmentId, tuple[float, int | None]] = {
            hot.oven: (hot.celsius, None if hot.waits else hot.end_s) for hot in problem.hot
        }

    def add(self, task: Task) -> None:
        settings = self._problem.settings
        for use in task.uses:
            self._heat(task, use)
        start = max(self._free_s, task.earliest_s)
        self._starts[task.id] = start
        busy = start + task.hands_s + settings.answer_s
        reminders = [other for other in self._problem.tasks if other.during == task.id and not other.is_fact]
        for reminder in sorted(reminders, key=lambda other: other.at_s):
            at = max(start + reminder.at_s, busy)
            self._starts[reminder.id] = at
            busy = at + reminder.length_s + settings.answer_s
        self._free_s = max(busy, start + task.length_s + settings.answer_s)
        for use in task.uses:
            if use.equipment in self._hot:
                self._hot[use.equipment] = (self._hot[use.equipment][0], start + task.length_s)

    def _heat(self, task: Task, use: Use) -> None:
        if use.at is None:
            return
        before, goal = self._celsius(use.equipment), use.at.celsius
        preheat = self._problem.preheat_s(use.equipment)
        if preheat == 0 or (before is not None and can_share(before, goal)):
            return
        length = preheat if before is None else self._problem.change_s(before, goal)
        self._heatings.append(
            Heating(task=task, use=use, start_s=self._free_s, length_s=length, is_cold=before is None)
        )
        self._free_s += length + self._problem.settings.answer_s
        self._hot[use.equipment] = (goal, None)

    def _celsius(self, oven: EquipmentId) -> float | None:
        """What the oven is at when the next thing starts; None if it is cold by then."""
        celsius, until = self._hot.get(oven, (None, None))
        lingers = until is None or self._free_s <= until + self._problem.settings.linger_s
        return celsius if lingers else None

    def move_to_pass(self) -> None:
        """If there is time to spare, everything not yet begun moves together, up to the pass."""
        ends = [
            self._starts[task.id] + task.length_s for task in self._problem.tasks if task.id in self._starts
        ]
        spare = max(0, (self._problem.serve_s or 0) - max(ends, default=0))
        free = {task.id for task in self._problem.tasks if not task.is_fact}
        self._starts = {step: at + spare * (step in free) for step, at in self._starts.items()}
        self._heatings = [
            Heating(task=h.task, use=h.use, start_s=h.start_s + spare, length_s=h.length_s, is_cold=h.is_cold)
            for h in self._heatings
        ]

    def add_reminders_of_facts(self) -> None:
        """Reminders of what is already on come before everything else, as soon as they may."""
        for task in self._problem.tasks:
            host = self._starts.get(task.during) if task.during is not None else None
            if host is not None and not task.is_fact and task.id not in self._starts:
                start = max(host + task.at_s, task.earliest_s, self._busy_s)
                self._starts[task.id] = start
                self._busy_s = start + task.length_s + self._problem.settings.answer_s
        self._free_s = max(self._free_s, self._busy_s)

    def solution(self) -> Solution:
        ends = [self._starts[task.id] + task.length_s for task in self._problem.tasks]
        pass_s = max([0, self._problem.serve_s or 0, *ends])
        return Solution(starts=self._starts, pass_s=pass_s, heatings=tuple(self._heatings), overruns_s={})
