"""Whose hands do what: every piece of hands work gets one cook, and no cook is in two places at once.

A solution never wants more hands than there are cooks, so handing each piece to a cook who is free always
works out. Facts may want more, as a cook may do what no plan would: those go to whoever is free soonest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitchend.core.plan import DishId, StepId
from kitchend.planning.problem import Problem, Task


def cooks_of(tasks: Sequence[Task], starts: Mapping[StepId, int], problem: Problem) -> dict[StepId, int]:
    """The cook of every task, counted from 0. A cook keeps what the timeline before gave, and stays with a
    dish.
    """
    kitchen = _Kitchen(problem.pairs_of_hands, problem.settings.answer_s)
    ordered = sorted(tasks, key=lambda task: (not task.is_fact, starts[task.id], task.id))
    return {task.id: kitchen.give(task, starts[task.id]) for task in ordered if not task.is_over}


class _Kitchen:
    """Who is busy until when, with how much behind them, and who was last at which dish."""

    def __init__(self, cooks: int, answer_s: int) -> None:
        self._free_at = [0] * cooks
        self._worked_s = [0] * cooks
        self._at: dict[DishId, int] = {}
        self._answer_s = answer_s

    def give(self, task: Task, start: int) -> int:
        cook = self._who(task, start)
        hands_s = task.hands_until_s if task.is_fact else task.hands_s
        if hands_s > 0:
            end = hands_s if task.is_fact else start + hands_s + self._answer_s
            self._free_at[cook] = max(self._free_at[cook], end)
            self._worked_s[cook] += task.hands_s
            self._at[task.step.dish] = cook
        return cook

    def _who(self, task: Task, start: int) -> int:
        cooks = range(len(self._free_at))
        if task.is_fact and task.was_cook in cooks:
            return task.was_cook or 0
        free = [cook for cook in cooks if self._free_at[cook] <= max(0, start)]
        for wanted in (task.was_cook, self._at.get(task.step.dish)):
            if wanted in free:
                return wanted or 0
        if free:
            return min(free, key=lambda cook: (self._worked_s[cook], cook))
        return min(cooks, key=lambda cook: (self._free_at[cook], cook))
