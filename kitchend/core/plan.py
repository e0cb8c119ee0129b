"""Plan, Dish, Step, Equipment: one dinner as data, with every reference by id.

Reading files is elsewhere; whether the references hold is asked in `plan_faults`. Durations are whole
seconds, a range has both ends, "never" and "no limit" are None. Everything is frozen.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import NewType

from kitchend.core.clock import TimeOfDay
from kitchend.core.quantities import DurationRange, Temperature

StepId = NewType("StepId", str)
DishId = NewType("DishId", str)
EquipmentId = NewType("EquipmentId", str)

GRACE_S = 120
"""How long a finished step may stand when the plan gives no `keeps` (the next step follows straight away)."""

SHARED_OVEN_TOLERANCE_C = 10.0
"""Steps share an oven only at temperatures this close, in degrees Celsius."""
_FRACTION_C = 1e-9
"""Fahrenheit as Celsius is seldom a whole number: so much is an artefact of binary fractions."""


def can_share(one_c: float, other_c: float) -> bool:
    """Whether two uses may be in one oven at the same time, going by their temperatures."""
    return abs(one_c - other_c) <= SHARED_OVEN_TOLERANCE_C + _FRACTION_C


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One piece of equipment a step occupies: how many of its places, and how hot if it is an oven."""

    equipment: EquipmentId
    places: int = 1
    at: Temperature | None = None


class PlaceWord(Enum):
    """What the places of a piece of equipment are called."""

    SHELVES = "shelves"
    RINGS = "rings"
    TIERS = "tiers"
    PLACES = "places"


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """Something steps share. `places` counts what `word` names; `preheat_s`, in seconds, is for ovens."""

    id: EquipmentId
    name: str
    places: int = 1
    preheat_s: int | None = None
    word: PlaceWord = PlaceWord.PLACES


class Shape(Enum):
    """What a piece of meat or fish is like for heat to get into: a slab, a cylinder, a sphere."""

    FLAT = "flat"
    LONG = "long"
    ROUND = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What the plan says of the piece whose core ends a step; None where it says nothing."""

    weight_kg: float | None = None
    thickness_m: float | None = None
    shape: Shape | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a dish. `takes` includes `hands_s`, which come first.

    `until` ends the step by a reading (a temperature inside) and makes `takes` an estimate. With
    `is_for_table` that is the number to be served at, and the step ends where resting brings it. A step with
    `during` is a mid-step reminder: `at_s` seconds after that step went on. `keeps_s` is how long the result
    may stand before the next step or the pass; None means all day. `ready_s` is how long before it the cook
    wants to be warned (0: never; None: where kitchend thinks it helps). `added` marks what kitchend put in
    itself.
    """

    id: StepId
    dish: DishId
    name: str
    also: tuple[str, ...] = ()
    hands_s: int = 0
    takes: DurationRange
    until: Temperature | None = None
    is_for_table: bool = False
    piece: Piece = Piece()
    uses: tuple[Use, ...] = ()
    after: tuple[StepId, ...] = ()
    during: StepId | None = None
    at_s: int | None = None
    every_s: int | None = None
    keeps_s: int | None = GRACE_S
    raw: str | None = None
    look_for: str | None = None
    ready_s: int | None = None
    added: bool = False

    @property
    def is_hands_only(self) -> bool:
        """Whether the cook's hands are needed for the whole of it, so that it has no clock to run out."""
        return self.until is None and self.takes.high_s <= self.hands_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Dish:
    """A dish: an ordered list of steps under one name, with other names the cook may say.

    `before_pass_s` is how long before the plan's pass this dish has its own, when plans are merged.
    """

    id: DishId
    name: str
    also: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    before_pass_s: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One dinner: dishes, the equipment they share, perhaps a serving time.

    `cook_names` names the pairs of hands, if the plan does. `chance` is how sure the cook wants to be of the
    pass, 0 to 1; None leaves it to the settings. `say` has words with how they are to be spoken.
    `language` is the tag of what the dinner is run in.
    A reminder with `every` stands here once a repeat (see `repeats_of`), ids ending in #1, #2, …
    """

    name: str
    serve: TimeOfDay | None = None
    people: int | None = None
    cooks: int = 1
    cook_names: tuple[str, ...] = ()
    chance: float | None = None
    language: str = "en"
    equipment: tuple[Equipment, ...] = ()
    dishes: tuple[Dish, ...] = ()
    say: tuple[tuple[str, str], ...] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps of all dishes, in the order of the file."""
        return tuple(self.iter_steps())

    def iter_steps(self) -> Iterator[Step]:
        """All steps of all dishes, in the order of the file, one by one."""
        for dish in self.dishes:
            yield from dish.steps

    def step(self, step_id: StepId) -> Step:
        """The step with this id; KeyError if there is none."""
        for step in self.iter_steps():
            if step.id == step_id:
                return step
        raise KeyError(step_id)

    def dish(self, dish_id: DishId) -> Dish:
        """The dish with this id; KeyError if there is none."""
        for dish in self.dishes:
            if dish.id == dish_id:
                return dish
        raise KeyError(dish_id)

    def equipment_of(self, equipment_id: EquipmentId) -> Equipment:
        """The equipment with this id; KeyError if there is none."""
        for item in self.equipment:
            if item.id == equipment_id:
                return item
        raise KeyError(equipment_id)


def repeats_of(plan: Plan, step_id: StepId) -> tuple[Step, ...]:
    """Every repeat of the reminder this step is one of, in order; the step alone if it does not repeat."""
    step = plan.step(step_id)
    if step.every_s is None:
        return (step,)
    stem = _stem(step_id)
    return tuple(other for other in plan.iter_steps() if other.every_s and _stem(other.id) == stem)


def _stem(step_id: StepId) -> str:
    return step_id.rpartition("#")[0]
