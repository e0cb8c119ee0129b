"""Made-up suppers of any size for figures: dishes of four to six steps that share an oven, rings and hands.

The same seed gives the same supper. Pure chance decides, within what is usual in a kitchen.
"""

from __future__ import annotations

import random
from dataclasses import replace

from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, Use
from tests.planning.dinners import HOUR, MIN, oven, step

PLACES = {"oven": 3, "hob": 4, "steamer": 2, "fridge": 4}


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
