"""Small dinners made in code for the planner's tests, and a short way to write more."""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Temperature

NOON = WallTime(1_780_308_000, 7200)
NOW = Now(Instant(500.0), NOON)
MIN = 60
HOUR = 3600


def step(
    name: str,
    takes: int | tuple[int, int] = 0,
    *,
    hands: int = 0,
    uses: Sequence[Use] = (),
    after: Sequence[str] = (),
    keeps: int | None = 2 * MIN,
    during: str | None = None,
    at: int | None = None,
    until: float | None = None,
) -> Step:
    low, high = takes if isinstance(takes, tuple) else (takes, takes)
    return Step(
        id=StepId(name.replace(" ", "-")),
        dish=DishId("dish"),
        name=name,
        hands_s=hands,
        takes=DurationRange(low_s=max(low, hands), high_s=max(high, hands)),
        uses=tuple(uses),
        after=tuple(StepId(before.replace(" ", "-")) for before in after),
        keeps_s=keeps,
        during=None if during is None else StepId(during.replace(" ", "-")),
        at_s=at,
        until=None if until is None else Temperature(degrees=until),
    )


def oven(celsius: float, places: int = 1) -> Use:
    return Use(equipment=EquipmentId("oven"), places=places, at=Temperature(degrees=celsius))


def on(equipment: str, places: int = 1) -> Use:
    return Use(equipment=EquipmentId(equipment), places=places)


def dinner(
    *steps: Step, cooks: int = 1, places: dict[str, int] | None = None, preheat: int | None = None
) -> Plan:
    equipment = tuple(
        Equipment(
            id=EquipmentId(name), name=name, places=count, preheat_s=preheat if name == "oven" else None
        )
        for name, count in (places or {"oven": 2, "hob": 4, "steamer": 1}).items()
    )
    dish = Dish(id=DishId("dish"), name="dish", steps=steps)
    return Plan(name="a dinner", cooks=cooks, equipment=equipment, dishes=(dish,))


def harbour_supper() -> Plan:
    """Twenty steps of five dishes around one pork shoulder: one oven, four rings, a steamer, one cook."""
    return dinner(
        step("rub the pork", hands=10 * MIN, keeps=2 * HOUR),
        step(
            "braise the pork",
            (150 * MIN, 180 * MIN),
            hands=3 * MIN,
            uses=[oven(150, 2)],
            after=["rub the pork"],
            keeps=40 * MIN,
            until=90,
        ),
        step("turn the pork", hands=2 * MIN, during="braise the pork", at=75 * MIN),
        step("rest the pork", 20 * MIN, after=["braise the pork"], keeps=25 * MIN),
        step("pull the pork", hands=8 * MIN, after=["rest the pork"], keeps=6 * MIN),
        step("make the dough", hands=12 * MIN, takes=12 * MIN, keeps=30 * MIN),
        step("prove the dough", 60 * MIN, after=["make the dough"], keeps=20 * MIN),
        step("shape the flatbread", hands=6 * MIN, after=["prove the dough"], keeps=15 * MIN),
        step(
            "bake the flatbread",
            12 * MIN,
            hands=2 * MIN,
            uses=[oven(230)],
            after=["shape the flatbread"],
            keeps=10 * MIN,
        ),
        step("trim the beans", hands=8 * MIN, keeps=4 * HOUR),
        step(
            "steam the beans",
            6 * MIN,
            hands=1 * MIN,
            uses=[on("hob"), on("steamer")],
            after=["trim the beans"],
            keeps=4 * MIN,
        ),
        step("dress the beans", hands=2 * MIN, after=["steam the beans"], keeps=5 * MIN),
        step("wash the barley", hands=2 * MIN, keeps=3 * HOUR),
        step(
            "simmer the barley",
            (35 * MIN, 45 * MIN),
            hands=2 * MIN,
            uses=[on("hob")],
            after=["wash the barley"],
            keeps=20 * MIN,
        ),
        step("stir the barley", hands=1 * MIN, during="simmer the barley", at=20 * MIN),
        step("season the barley", hands=2 * MIN, after=["simmer the barley"], keeps=12 * MIN),
        step("slice the plums", hands=9 * MIN, keeps=HOUR),
        step(
            "poach the plums",
            14 * MIN,
            hands=3 * MIN,
            uses=[on("hob")],
            after=["slice the plums"],
            keeps=None,
        ),
        step("whip the cream", hands=5 * MIN, keeps=HOUR),
        step("lay the table", hands=10 * MIN, keeps=None),
    )
