"""Made-up suppers of any size for figures: dishes of four to six steps that share an oven, rings and hands.

The same seed gives the same supper. Pure chance decides, within what is usual in a kitchen. A `supper` has
only dishes that are eaten hot, which a few hands can bring to the pass together while they are few; a `feast`
is what two cooks would take on: of eight dishes three are hot, the others a sauce, a bread, a sweet and two
eaten cold, so that what keeps for minutes is finished last, by few enough calls. Hot dishes share an oven at
180, 190 and 200 C, bread and sweets a small one at 160, 180 and 220 C, and all of them four rings.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, Use
from kitchend.core.quantities import Temperature
from tests.planning.dinners import HOUR, MIN, on, oven, step

PLACES = {"oven": 3, "hob": 4, "steamer": 2, "fridge": 4}
FEAST_PLACES = {"oven": 3, "hob": 4, "steamer": 2, "fridge": 6, "small oven": 2}


def supper(steps: int, seed: int = 0, *, cooks: int = 1) -> Plan:
    """A supper of so many steps."""
    chance = random.Random(seed * 1000 + steps)
    dishes: list[Dish] = []
    left = steps
    while left > 0:
        count = min(left, chance.choice([4, 5, 5, 6]))
        dishes.append(_dish(chance, len(dishes), count))
        left -= count
    equipment = tuple(
        Equipment(id=EquipmentId(name), name=name, places=count * max(1, steps // 40))
        for name, count in PLACES.items()
    )
    return Plan(name=f"{steps} steps", cooks=cooks, equipment=equipment, dishes=tuple(dishes))


def _dish(chance: random.Random, place: int, count: int) -> Dish:
    name = f"dish {place}"
    steps: list[Step] = []
    for turn in range(count):
        before = [steps[-1].name] if steps else []
        steps.append(_step(chance, f"{name} step {turn}", before, turn, count))
    owned = tuple(replace(one, dish=DishId(name)) for one in steps)
    return Dish(id=DishId(name), name=name, steps=owned)


def _step(chance: random.Random, name: str, before: list[str], turn: int, count: int) -> Step:
    is_last = turn == count - 1
    if turn == 0:
        keeps = chance.choice([HOUR, 2 * HOUR, 4 * HOUR, None])
        return step(name, hands=chance.randint(3, 12) * MIN, after=before, keeps=keeps)
    if is_last:
        keeps = chance.choice([5, 8, 10, 15]) * MIN
        return step(name, hands=chance.randint(1, 4) * MIN, after=before, keeps=keeps)
    keeps = chance.choice([5, 10, 20, 40]) * MIN
    takes = chance.randint(8, 70) * MIN
    return step(name, takes, hands=chance.randint(1, 3) * MIN, uses=_uses(chance), after=before, keeps=keeps)


def _uses(chance: random.Random) -> list[Use]:
    place = chance.randrange(6)
    if place < 2:
        return [oven(chance.choice([180, 190, 190, 200]))]
    return [[Use(equipment=EquipmentId("hob"))], [Use(equipment=EquipmentId("steamer"))], [], []][place - 2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of dish: how long what is ready keeps, and what stands between steps, in minutes; the longest
    step in minutes; what its steps are in or on, each as likely.
    """

    ready: Sequence[int | None]
    between: Sequence[int]
    longest: int = 45
    uses: Sequence[Sequence[Use]] = ()


def small_oven(celsius: float) -> Use:
    return Use(equipment=EquipmentId("small oven"), at=Temperature(degrees=celsius))


HOT = Kind(
    ready=(8, 10, 15),
    between=(10, 20, 30),
    uses=([oven(180)], [oven(200)], [oven(190)], [on("hob")], [on("hob")], [on("steamer")]),
)
COLD = Kind(
    ready=(60, 120, 240), between=(60, 120), uses=([on("hob")], [on("fridge")], [on("fridge")], [], [], [])
)
SWEET = Kind(
    ready=(60, 120, None),
    between=(30, 60, 120),
    longest=60,
    uses=([small_oven(160)], [small_oven(180)], [on("hob")], [on("fridge")], [on("fridge")], []),
)
BREAD = Kind(
    ready=(20, 30, 60), between=(15, 30), uses=([small_oven(220)], [small_oven(220)], [], [], [], [])
)
SAUCE = Kind(
    ready=(15, 20, 30),
    between=(15, 30, 60),
    uses=([on("hob")], [on("hob")], [on("hob")], [oven(190)], [], []),
)
FEAST = (HOT, HOT, HOT, COLD, COLD, SWEET, BREAD, SAUCE)


def feast(steps: int, seed: int = 0, *, cooks: int = 2) -> Plan:
    """A feast of so many steps, for two cooks."""
    chance = random.Random(7000 * seed + steps)
    dishes: list[Dish] = []
    kinds: list[Kind] = []
    left = steps
    while left > 0:
        kinds = kinds or chance.sample(FEAST, len(FEAST))
        count = min(left, chance.choice([4, 5, 5, 6]))
        dishes.append(_dish_of(chance, kinds.pop(), f"dish {len(dishes)}", count))
        left -= count
    places = [
        Equipment(id=EquipmentId(name), name=name, places=count) for name, count in FEAST_PLACES.items()
    ]
    return Plan(name=f"feast of {steps} steps", cooks=cooks, equipment=tuple(places), dishes=tuple(dishes))


def _dish_of(chance: random.Random, kind: Kind, name: str, count: int) -> Dish:
    steps = [step(f"{name} step 0", hands=chance.randint(3, 12) * MIN, keeps=chance.choice([1, 2, 4]) * HOUR)]
    for turn in range(1, count):
        own, before = f"{name} step {turn}", [steps[-1].name]
        if turn == count - 1:
            keeps = chance.choice(kind.ready)
            keeps_s = None if keeps is None else keeps * MIN
            steps.append(step(own, hands=chance.randint(1, 4) * MIN, after=before, keeps=keeps_s))
            continue
        takes, hands = chance.randint(8, kind.longest) * MIN, chance.randint(1, 3) * MIN
        uses, keeps_s = chance.choice(kind.uses), chance.choice(kind.between) * MIN
        steps.append(step(own, takes, hands=hands, uses=uses, after=before, keeps=keeps_s))
    return Dish(id=DishId(name), name=name, steps=tuple(replace(one, dish=DishId(name)) for one in steps))
