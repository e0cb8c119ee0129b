"""A dinner planned as people do it on paper: each dish back from the pass on its own, then moved until it
fits.

Dish by dish in the order of the plan, the last step first, each as late as what follows it lets it; where
hands, places or the oven's temperature collide with what is written down already, earlier until nothing
collides. No search.
"""

from __future__ import annotations

from kitchend.core.plan import EquipmentId, StepId, can_share
from kitchend.planning.problem import Problem, Task
from kitchend.planning.room import Room

EARLY_S = 48 * 3600
"""Room before now, so that what would have had to begin earlier still gets its place."""


def on_paper(problem: Problem) -> dict[StepId, int]:
    """Starts by step, in seconds from the origin; below zero for what would have had to begin before now."""
    page = _Page(problem)
    for task in reversed(_by_dish(problem)):
        page.write(task)
    return {step: at - EARLY_S for step, at in page.starts.items()}


def _by_dish(problem: Problem) -> list[Task]:
    """As in the plan: the order of a dish's steps is the order of the list."""
    return [task for task in problem.tasks if task.during is None]


class _Page:
    def __init__(self, problem: Problem) -> None:
        self.starts: dict[StepId, int] = {}
        self._problem = problem
        self._pass = EARLY_S + (problem.serve_s or 0)
        self._hands = Room(problem.cooks)
        self._rooms: dict[EquipmentId, Room] = {}
        self._hot: list[tuple[EquipmentId, float, int, int]] = []

    def write(self, task: Task) -> None:
        followers = [
            other for other in self._problem.tasks if task.id in other.after and other.id in self.starts
        ]
        limits = [self.starts[other.id] - self._problem.gap_s(task, other) for other in followers] or [
            self._pass
        ]
        start = min(limits) - task.length_s
        while (moved := self._moved(task, start)) != start:
            start = moved
        self.starts[task.id] = start
        self._take(task, start)

    def _moved(self, task: Task, start: int) -> int:
        """This start, or an earlier one that collides with less."""
        hands = task.hands_s + self._problem.settings.answer_s if task.hands_s else 0
        start = self._hands.latest(start, 0, hands, 1) or 0
        for use in task.uses:
            start = self._room(use.equipment).latest(start, 0, task.length_s, use.places) or 0
            for oven, celsius, begins, ends in self._hot:
                if use.at is None or oven != use.equipment or can_share(celsius, use.at.celsius):
                    continue
                turn = self._problem.change_s(use.at.celsius, celsius) + self._problem.settings.answer_s
                if start < ends + turn and begins < start + task.length_s + turn:
                    start = begins - turn - task.length_s
        return start

    def _room(self, name: EquipmentId) -> Room:
        return self._rooms.setdefault(name, Room(max(1, self._problem.place(name).places)))

    def _take(self, task: Task, start: int) -> None:
        if task.hands_s:
            self._hands.take(start, start + task.hands_s + self._problem.settings.answer_s, 1)
        for use in task.uses:
            self._room(use.equipment).take(start, start + task.length_s, use.places)
            if use.at is not None:
                self._hot.append((use.equipment, use.at.celsius, start, start + task.length_s))
