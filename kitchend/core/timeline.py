"""Planned times as data: when each step starts and ends, how much it could slip, what decides the pass.

No solving happens here; `planning` makes a Timeline and the core lives by it. Times are wall times because
the pass follows the wall clock. `added` holds steps kitchend put in itself, such as preheating.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitchend.core.clock import WallTime
from kitchend.core.plan import Step, StepId


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One step's place in the timeline. `slack_s` is how far its start could slip without moving the pass."""

    step: StepId
    start: WallTime
    end: WallTime
    slack_s: int = 0
    is_critical: bool = False
    stands_s: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Something that cannot be had as the plan asks, in words, and a change that would help (or None)."""

    message: str
    change: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The planned dinner. `serve` is the pass it was asked for, `ready` when everything is at the pass.

    `late_by_s` is ready minus serve, never below zero. With conflicts it is not feasible, yet the best found.
    """

    serve: WallTime
    ready: WallTime
    late_by_s: int = 0
    planned: tuple[Planned, ...] = ()
    added: tuple[Step, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    on_time_probability: float | None = None

    @property
    def is_feasible(self) -> bool:
        """Whether the pass is met and nothing collides."""
        return not self.conflicts and self.late_by_s == 0

    def of(self, step_id: StepId) -> Planned | None:
        """The planned times of a step, or None if it is not in the timeline (done, dropped, not needed)."""
        return next((planned for planned in self.planned if planned.step == step_id), None)
