"""Planned times as data: when each step starts and ends, how much it could slip, what decides the pass.

No solving happens here; `planning` makes a Timeline and the core lives by it. Times are wall times because
the pass follows the wall clock. `added` holds steps kitchend put in itself, such as preheating.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kitchend.core.clock import WallTime
from kitchend.core.plan import EquipmentId, Step, StepId
from kitchend.core.quantities import Temperature


class Hold(Enum):
    """What keeps a step from starting earlier, or from being put later."""

    STEP = "step"
    """Another step has to end first."""
    HANDS = "hands"
    """Both hands are busy with another step."""
    EQUIPMENT = "equipment"
    """Another step has the place in the oven, on the hob, in the steamer."""
    PASS = "pass"
    """Nothing: it starts as late as it may, so that it does not stand."""
    NOW = "now"
    """It starts at once; it could not start earlier."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitsFor:
    """What a step waits for: which step, and over which equipment, where the kind of hold has them."""

    hold: Hold
    step: StepId | None = None
    equipment: EquipmentId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One step's place in the timeline. `slack_s` is how far its start could slip without moving the pass.

    `cook` says whose hands it needs, counted from 0; `decides` which passes it decides, each as so many
    seconds before the last one, 0.
    """

    step: StepId
    start: WallTime
    end: WallTime
    slack_s: int = 0
    decides: tuple[int, ...] = ()
    stands_s: int = 0
    waits_for: WaitsFor | None = None
    cook: int = 0

    @property
    def is_critical(self) -> bool:
        """Whether it is of the chain that decides a pass."""
        return bool(self.decides)


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy:
    """A stretch of the dinner in which the hands have the least rest: `hands_s` of it is work."""

    start: WallTime
    end: WallTime
    hands_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OvenHeat:
    """An oven at one temperature from `start` (it is hot by then) to `end` (the last use is out)."""

    equipment: EquipmentId
    at: Temperature
    start: WallTime
    end: WallTime


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Something that cannot be had as the plan asks, in words.

    `changes` are all the changes that would each make the whole dinner work, cheapest first; empty where none
    was found. Where several conflicts are only mended together, each has the same.
    """

    message: str
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The planned dinner. `serve` is the pass it was asked for, `ready` when everything is at the pass.

    `late_by_s` is ready minus serve, never below zero. With conflicts it is not feasible, yet the best found.
    `on_time_probability` is the chance that all is at the pass within five minutes, `spoiler` the step most
    likely to spoil it, `margin_s` what the most uncertain step is given beyond its middle for that chance
    (below zero: less). `gap` is how far the timeline may be from the best there is: 0 when it is proved best,
    None when no bound is known.
    """

    serve: WallTime
    ready: WallTime
    late_by_s: int = 0
    planned: tuple[Planned, ...] = ()
    added: tuple[Step, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    on_time_probability: float | None = None
    spoiler: StepId | None = None
    margin_s: int = 0
    busiest: tuple[Busy, ...] = ()
    heats: tuple[OvenHeat, ...] = ()
    gap: float | None = None

    @property
    def is_feasible(self) -> bool:
        """Whether the pass is met and nothing collides."""
        return not self.conflicts and self.late_by_s == 0

    def of(self, step_id: StepId) -> Planned | None:
        """The planned times of a step, or None if it is not in the timeline (done, dropped, not needed)."""
        return next((planned for planned in self.planned if planned.step == step_id), None)
