"""A supper of two cooks and its timeline, written by hand, for tests of how timelines are shown.

Every field a planner may fill is filled, so that what is shown can be compared with what is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.timeline import Busy, Conflict, Hold, OvenHeat, Planned, Timeline, WaitsFor

SEVEN = WallTime(1_780_000_000.0 - 1_780_000_000 % 86_400 + 17 * 3600, 7200)
"""Seven in the evening, two hours east of UTC, on 28 May 2026."""

OVEN, HOB = EquipmentId("oven"), EquipmentId("hob")


def a_step(dish: str, name: str, low: int, high: int | None = None, **more: object) -> Step:
    """A step of so many minutes."""
    plain = Step(
        id=StepId(f"{dish}/{name.replace(' ', '-')}"),
        dish=DishId(dish),
        name=name,
        takes=DurationRange(low_s=low * 60, high_s=(high or low) * 60),
    )
    return replace(plain, **more)  # type: ignore[arg-type]  # keyword facts of a Step


def at(minutes: float) -> WallTime:
    """So many minutes before seven."""
    return SEVEN - minutes * 60


SEASON = a_step("duck", "season the duck", 8, hands_s=480, raw="poultry")
ROAST = a_step(
    "duck",
    "roast the duck",
    50,
    70,
    hands_s=120,
    after=(SEASON.id,),
    until=Temperature(degrees=74),
    uses=(Use(equipment=OVEN, places=2, at=Temperature(degrees=190)),),
    look_for="juices run clear",
)
REST = a_step("duck", "rest the duck", 15, after=(ROAST.id,), keeps_s=1500)
RINSE = a_step("barley", "rinse the barley", 2, hands_s=120, keeps_s=None)
BOIL = a_step("barley", "boil the barley", 30, hands_s=60, after=(RINSE.id,), uses=(Use(equipment=HOB),))
HEAT = a_step(
    "oven",
    "heat the oven to 190",
    15,
    hands_s=30,
    added=True,
    uses=(Use(equipment=OVEN, places=0, at=Temperature(degrees=190)),),
)

PLAN = Plan(
    name="Millpond supper",
    serve=TimeOfDay(19),
    people=4,
    cooks=2,
    cook_names=("Mira", "Jonas"),
    chance=0.9,
    equipment=(
        Equipment(id=OVEN, name="oven", places=3, preheat_s=900),
        Equipment(id=HOB, name="hob", places=4),
    ),
    dishes=(
        Dish(id=DishId("duck"), name="duck", steps=(SEASON, ROAST, REST)),
        Dish(id=DishId("barley"), name="barley", steps=(RINSE, BOIL)),
    ),
)


def place(step: Step, before: float, minutes: float, hold: Hold, other: Step | None = None) -> Planned:
    """A step from so many minutes before seven on."""
    return Planned(
        step=step.id,
        start=at(before),
        end=at(before - minutes),
        waits_for=WaitsFor(hold=hold, step=other.id if other else None, equipment=OVEN),
    )


PLANNED: Sequence[Planned] = (
    replace(place(HEAT, 110, 15, Hold.NOW), decides=(0,)),
    replace(place(SEASON, 105, 8, Hold.PASS), slack_s=120),
    replace(place(ROAST, 95, 70, Hold.EQUIPMENT, HEAT), decides=(0,)),
    replace(place(RINSE, 40, 2, Hold.HANDS, ROAST), slack_s=600, cook=1),
    replace(place(BOIL, 35, 30, Hold.STEP, RINSE), cook=1, stands_s=300),
    replace(place(REST, 25, 15, Hold.STEP, ROAST), decides=(0,), stands_s=600),
)

TIMELINE = Timeline(
    serve=SEVEN,
    ready=at(5),
    planned=tuple(PLANNED),
    added=(HEAT,),
    on_time_probability=0.91,
    spoiler=ROAST.id,
    margin_s=300,
    busiest=(Busy(start=at(110), end=at(93), hands_s=630),),
    heats=(OvenHeat(equipment=OVEN, at=Temperature(degrees=190), start=at(95), end=at(25)),),
    gap=0.0,
)

LATE = replace(
    TIMELINE,
    serve=at(30),
    ready=at(5),
    late_by_s=1500,
    conflicts=(
        Conflict(
            message="dinner would be 25 min late: the oven is full",
            changes=("the pass at 18:55", "one more place in the oven", "no barley"),
        ),
    ),
    gap=0.023,
)

TWO_PASSES = replace(
    PLAN,
    name="Millpond supper and Late barley",
    dishes=(replace(PLAN.dishes[0], before_pass_s=1800), PLAN.dishes[1]),
)
"""The duck half an hour before the barley."""


def named(name: str, dish: str = "duck") -> Plan:
    """The same plan with the plan, one dish, its steps and a cook called so."""
    dishes = tuple(
        replace(one, name=name, steps=tuple(replace(step, name=f"{name} {step.name}") for step in one.steps))
        if one.id == dish
        else one
        for one in PLAN.dishes
    )
    return replace(PLAN, name=name, dishes=dishes, cook_names=(name, "Jonas"))
