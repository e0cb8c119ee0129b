"""How hot each oven is over a solved dinner, as stretches at one temperature. Pure reading, no choice is
made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.clock import WallTime
from kitchend.core.plan import EquipmentId, StepId, can_share
from kitchend.core.quantities import Temperature
from kitchend.core.timeline import OvenHeat
from kitchend.planning.problem import Task


@dataclass(slots=True)
class _Stretch:
    """Hot by `start_s`, the last use out at `end_s`."""

    at: Temperature
    start_s: int
    end_s: int


def heats_of(tasks: Sequence[Task], starts: Mapping[StepId, int], origin: WallTime) -> tuple[OvenHeat, ...]:
    """Every stretch of every oven, oven by oven, each in the order of the evening."""
    ovens = dict.fromkeys(use.equipment for task in tasks for use in task.uses if use.at is not None)
    return tuple(
        OvenHeat(equipment=oven, at=heat.at, start=origin + heat.start_s, end=origin + heat.end_s)
        for oven in ovens
        for heat in _stretches(tasks, starts, oven)
    )


def _stretches(tasks: Sequence[Task], starts: Mapping[StepId, int], oven: EquipmentId) -> list[_Stretch]:
    found: list[_Stretch] = []
    for start, end, at, is_heating in sorted(_uses(tasks, starts, oven), key=lambda use: use[:2]):
        if is_heating:
            found.append(_Stretch(at, end, end))
        elif found and can_share(found[-1].at.celsius, at.celsius):
            found[-1].end_s = max(found[-1].end_s, end)
        else:
            found.append(_Stretch(at, start, end))
    return found


def _uses(
    tasks: Sequence[Task], starts: Mapping[StepId, int], oven: EquipmentId
) -> Iterator[tuple[int, int, Temperature, bool]]:
    for task in tasks:
        for use in task.uses:
            if use.equipment == oven and use.at is not None and not task.is_over:
                start = starts[task.id]
                yield start, start + task.length_s, use.at, task.step.added
