"""Big dinners for two cooks as people really give them, for figures: some sixty steps of one kind or another.

`holiday` has twelve of sixteen dishes written down here with what they need and how long each thing keeps
(common practice), a centrepiece and what is hot among them; how long each takes varies by a fifth with the
seed. `courses` is the same dishes at three passes: a starter, a main and a sweet. `shared` are the plans that
come with it, cooked together in one kitchen with two ovens, at one pass or at two or three.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kitchend.core.clock import TimeOfDay
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, Use
from kitchend.core.quantities import Temperature
from kitchend.files.merging import Part, merge_plans
from kitchend.files.plan_yaml import read_plan
from tests.planning.dinners import MIN, on, oven, step

PLANS = Path(__file__).parents[2] / "plans"
PLACES = {"oven": 3, "second oven": 2, "hob": 4, "steamer": 2, "fridge": 6}
DAY: int | None = None
"""Keeps all day."""


@dataclass(frozen=True, slots=True)
class Do:
    """One step: minutes it takes (hands included), minutes of hands, where, and minutes it keeps."""

    what: str
    takes: int
    hands: int
    keeps: int | None
    uses: tuple[Use, ...] = ()


def second(celsius: float) -> Use:
    return Use(equipment=EquipmentId("second oven"), at=Temperature(degrees=celsius))


CENTRE: Mapping[str, Sequence[Do]] = {
    "goose": (
        Do("salt", 8, 8, 120),
        Do("roast", 150, 3, 15, (oven(170, 2),)),
        Do("rest", 30, 1, 30),
        Do("skim", 4, 4, 30),
        Do("carve", 10, 10, 6),
    ),
    "ham": (
        Do("simmer", 90, 3, 60, (on("hob"),)),
        Do("score", 6, 6, 30),
        Do("glaze", 40, 4, 15, (oven(190, 2),)),
        Do("rest", 20, 1, 30),
        Do("slice", 8, 8, 8),
    ),
}
HOT: Mapping[str, Sequence[Do]] = {
    "dumplings": (
        Do("grate", 12, 12, 60),
        Do("shape", 10, 10, 40),
        Do("boil", 3, 1, 10, (on("hob"),)),
        Do("poach", 20, 1, 10, (on("hob"),)),
        Do("drain", 2, 2, 8),
    ),
    "sprouts": (
        Do("trim", 10, 10, 240),
        Do("blanch", 5, 1, 120, (on("hob"),)),
        Do("chill", 10, 1, 120),
        Do("brown", 8, 3, 6, (on("hob"),)),
        Do("dress", 2, 2, 6),
    ),
    "parsnips": (
        Do("peel", 9, 9, 120),
        Do("parboil", 8, 1, 30, (on("hob"),)),
        Do("toss", 3, 3, 30),
        Do("roast", 40, 2, 10, (oven(190),)),
        Do("plate", 2, 2, 6),
    ),
}
REST: Mapping[str, Sequence[Do]] = {
    "red cabbage": (
        Do("shred", 10, 10, 240),
        Do("soften", 10, 3, 30, (on("hob"),)),
        Do("braise", 70, 2, 60, (on("hob"),)),
        Do("season", 2, 2, 45),
        Do("bowl", 1, 1, 20),
    ),
    "chestnut soup": (
        Do("chop", 9, 9, 180),
        Do("sweat", 10, 3, 30, (on("hob"),)),
        Do("simmer", 30, 1, 60, (on("hob"),)),
        Do("blend", 5, 5, 90),
        Do("warm", 10, 1, 20, (on("hob"),)),
    ),
    "stuffing": (
        Do("chop", 8, 8, 120),
        Do("fry", 10, 5, 60, (on("hob"),)),
        Do("mix", 5, 5, 90),
        Do("bake", 35, 2, 20, (oven(180),)),
        Do("turn out", 2, 2, 15),
    ),
    "wine sauce": (
        Do("brown bones", 30, 2, 60, (oven(200),)),
        Do("simmer stock", 60, 2, 120, (on("hob"),)),
        Do("strain", 3, 3, 120),
        Do("reduce", 20, 2, 30, (on("hob"),)),
        Do("finish", 3, 3, 15),
    ),
    "rolls": (
        Do("knead", 12, 12, 15),
        Do("prove", 60, 1, 20),
        Do("shape rolls", 10, 10, 10),
        Do("prove again", 30, 1, 15),
        Do("bake rolls", 16, 2, 40, (second(220),)),
    ),
    "gratin": (
        Do("slice leeks", 8, 8, 120),
        Do("stew leeks", 15, 3, 60, (on("hob"),)),
        Do("make white sauce", 10, 8, 60, (on("hob"),)),
        Do("fill", 3, 3, 60),
        Do("gratinate", 30, 1, 15, (second(200),)),
    ),
    "plum tart": (
        Do("make pastry", 10, 10, 60),
        Do("chill pastry", 30, 1, 120, (on("fridge"),)),
        Do("line tin", 8, 8, 30),
        Do("bake tart", 45, 2, 180, (second(180),)),
        Do("glaze tart", 3, 3, 180),
    ),
    "rice pudding": (
        Do("weigh", 3, 3, 240),
        Do("boil milk", 10, 4, 10, (on("hob"),)),
        Do("bake pudding", 90, 2, 30, (second(160),)),
        Do("cool", 30, 1, 180),
        Do("sprinkle", 2, 2, 60),
    ),
    "jelly": (
        Do("soak", 10, 1, 20),
        Do("melt", 8, 6, 15, (on("hob"),)),
        Do("pour", 4, 4, 10),
        Do("set", 150, 1, 240, (on("fridge"),)),
        Do("unmould", 4, 4, 30),
    ),
    "smoked trout": (
        Do("fillet", 10, 10, 60),
        Do("mix cream", 5, 5, 180),
        Do("chill trout", 30, 1, 120, (on("fridge"),)),
        Do("toast", 6, 3, 15),
        Do("arrange", 6, 6, 25),
    ),
    "beetroot salad": (
        Do("wrap", 5, 5, 120),
        Do("bake beetroot", 60, 1, 120, (oven(200),)),
        Do("peel beetroot", 8, 8, 120),
        Do("marinate", 30, 2, 240, (on("fridge"),)),
        Do("scatter", 3, 3, 60),
    ),
    "cucumber salad": (
        Do("slice cucumber", 6, 6, 60),
        Do("salt cucumber", 20, 1, 30),
        Do("whisk dressing", 4, 4, 240),
        Do("squeeze", 3, 3, 30),
        Do("dress cucumber", 2, 2, 30),
    ),
}
SWEET = ("plum tart", "rice pudding", "jelly")
STARTER = ("chestnut soup", "smoked trout", "rolls")


def holiday(seed: int = 0) -> Plan:
    """Twelve dishes, sixty steps, one pass."""
    return _plan(f"holiday {seed}", _dishes(seed))


def courses(seed: int = 0) -> Plan:
    """The same at three passes: what comes first 25 minutes before the main, the sweet 45 after it."""
    before = dict.fromkeys(STARTER, 70 * MIN) | dict.fromkeys(SWEET, 0)
    dishes = [replace(dish, before_pass_s=before.get(dish.name, 45 * MIN)) for dish in _dishes(seed)]
    return _plan(f"courses {seed}", dishes)


def shared(before_min: Sequence[int] = (0, 0, 0)) -> Plan:
    """The plans that come with it as one dinner for two cooks, each so long before the last pass."""
    parts = [
        Part(file=path.name, plan=_elsewhere(read_plan(path), turn), before_s=before * MIN)
        for turn, (path, before) in enumerate(zip(sorted(PLANS.glob("*.yaml")), before_min, strict=True))
    ]
    return replace(merge_plans(parts, TimeOfDay(19, 30)).plan, cooks=2)


def _elsewhere(plan: Plan, turn: int) -> Plan:
    """The plan with names of its own for its dishes, and an oven of its own."""
    dishes = tuple(
        replace(
            dish,
            id=DishId(f"{dish.id}-{turn}"),
            name=f"{dish.name} {turn}",
            also=(),
            steps=tuple(_step_elsewhere(one, turn) for one in dish.steps),
        )
        for dish in plan.dishes
    )
    equipment = tuple(
        replace(item, id=_oven(item.id, turn), name=_oven(item.id, turn)) for item in plan.equipment
    )
    return replace(plan, dishes=dishes, equipment=equipment, say=())


def _step_elsewhere(one: Step, turn: int) -> Step:
    uses = tuple(_renamed(use, turn) for use in one.uses)
    return replace(one, dish=DishId(f"{one.dish}-{turn}"), uses=uses)


def _renamed(use: Use, turn: int) -> Use:
    return replace(use, equipment=_oven(use.equipment, turn))


def _oven(name: EquipmentId, turn: int) -> EquipmentId:
    return EquipmentId("second oven") if name == "oven" and turn else name


def _dishes(seed: int) -> list[Dish]:
    chance = random.Random(9000 + seed)
    centre = chance.sample(list(CENTRE.items()), 1)
    hot = chance.sample(list(HOT.items()), 2)
    rest = chance.sample(list(REST.items()), 9)
    return [_dish(chance, name, steps) for name, steps in [*centre, *hot, *rest]]


def _dish(chance: random.Random, name: str, written: Sequence[Do]) -> Dish:
    steps: list[Step] = []
    for do in written:
        takes = max(do.takes if do.takes < 10 else round(do.takes * chance.uniform(0.8, 1.2)), do.hands)
        before = [steps[-1].name] if steps else []
        keeps = DAY if do.keeps is None else do.keeps * MIN
        made = step(
            f"{do.what} the {name}",
            takes * MIN,
            hands=do.hands * MIN,
            uses=do.uses,
            after=before,
            keeps=keeps,
        )
        steps.append(replace(made, dish=DishId(name)))
    return Dish(id=DishId(name), name=name, steps=tuple(steps))


def _plan(name: str, dishes: Sequence[Dish]) -> Plan:
    places = tuple(Equipment(id=EquipmentId(at), name=at, places=count) for at, count in PLACES.items())
    return Plan(name=name, cooks=2, equipment=places, dishes=tuple(dishes))
