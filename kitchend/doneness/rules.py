"""One jurisdiction's guidance as the rules that a plan is checked by and a dinner lives by.

Joins the tables beside it with the words in which plans name food. Of the two American sets the Food Code
alone publishes holds for lower temperatures of whole cuts; they are named as the Food Code's in both.
"""

from __future__ import annotations

from functools import cache

from kitchend.core.food_words import food_words
from kitchend.core.safety_rules import (
    Beside,
    CoolingLimits,
    HeatRow,
    ReheatingLimits,
    RoastOven,
    SafetyRules,
    TimeOnly,
)
from kitchend.doneness import standing
from kitchend.doneness.guidance import FSIS, Food, Jurisdiction, minimum_for
from kitchend.doneness.lethality import (
    E_COLI_Z_C,
    FOOD_CODE_MINCED_C,
    FOOD_CODE_ROAST_C,
    LISTERIA_Z_C,
    UK_BURGER_HOLDS_C,
    UK_HOLDS_C,
)

KINDS: dict[Food, str] = {
    Food.POULTRY: "poultry",
    Food.MINCED: "minced meat",
    Food.STUFFED: "stuffed food",
    Food.FRESH_HAM: "fresh ham",
    Food.WHOLE_CUT: "whole cuts of meat",
    Food.FISH: "fish and shellfish",
    Food.EGGS: "egg dishes",
    Food.LEFTOVERS: "leftovers",
}
"""How each kind of food is called; their words are looked for in this order."""

NAMES = {
    Jurisdiction.US_FSIS: "the USDA",
    Jurisdiction.US_FOOD_CODE: "the Food Code",
    Jurisdiction.UK_FSA: "the Food Standards Agency",
}
Holds = tuple[tuple[float, int], ...]

FOOD_CODE_MINCED = "FDA Food Code 3-401.11(A)(2)"
FOOD_CODE_HOLDS = "FDA Food Code 3-401.11(B)(2)"
UK_HOLDS = "UK Food Standards Agency, equivalents of 70 C for 2 minutes"
UK_BURGERS = "ACMSF, safe cooking of burgers, 2007"
STANDING_SOURCE = "USDA two-hour rule"
COOLING = CoolingLimits(
    first_c=standing.COOL_FIRST_C,
    middle_c=standing.COOL_MIDDLE_C,
    last_c=standing.COOL_LAST_C,
    first_s=standing.COOL_FIRST_S,
    total_s=standing.COOL_TOTAL_S,
    ambient_s=standing.COOL_AMBIENT_S,
    source="FDA Food Code 3-501.14",
    spoken=NAMES[Jurisdiction.US_FOOD_CODE],
)
REHEATING = ReheatingLimits(
    within_s=standing.REHEAT_WITHIN_S,
    source="FDA Food Code 3-403.11",
    spoken=NAMES[Jurisdiction.US_FOOD_CODE],
)
"""No other of the three publishes its own: in all of them these are named as the Food Code's."""
BESIDE = {
    Jurisdiction.US_FSIS: Beside(
        key="beside.packed.ham",
        celsius=standing.PACKED_HAM_C,
        source=FSIS,
        words=tuple(sorted(food_words(Food.FRESH_HAM.value))),
    ),
    Jurisdiction.US_FOOD_CODE: Beside(
        key="beside.packed", celsius=standing.PACKED_C, source="FDA Food Code 3-403.11"
    ),
    Jurisdiction.UK_FSA: Beside(
        key="beside.scotland",
        celsius=standing.SCOTLAND_REHEAT_C,
        source="Food Hygiene (Scotland) Regulations 2006 Sch. 4, as taught",
    ),
}
ROAST_OVEN = RoastOven(
    large_kg=standing.ROAST_LARGE_KG,
    large_c=standing.ROAST_LARGE_OVEN_C,
    small_c=standing.ROAST_OVEN_C,
    small_fan_c=standing.ROAST_FAN_C,
    moist_c=standing.ROAST_MOIST_C,
    source="FDA Food Code 3-401.11(B)(1)",
)
TIME_ONLY = TimeOnly(
    any_s=standing.TIME_ONLY_S,
    cold_s=standing.TIME_ONLY_COLD_S,
    cold_c=standing.TIME_ONLY_COLD_C,
    source="FDA Food Code 3-501.19",
)


@cache
def rules_for(jurisdiction: Jurisdiction) -> SafetyRules:
    """The guidance of one jurisdiction."""
    rows = {food: _row(food, jurisdiction) for food in KINDS}
    keeping = standing.KEEPING[jurisdiction]
    aside = (Food.STUFFED, Food.LEFTOVERS)
    is_code = jurisdiction is Jurisdiction.US_FOOD_CODE
    return SafetyRules(
        spoken=NAMES[jurisdiction],
        rows=tuple(row for food, row in rows.items() if food not in aside),
        minced=rows[Food.MINCED],
        stuffed=rows[Food.STUFFED],
        reheated=rows[Food.LEFTOVERS],
        hot_c=keeping.hot_c,
        cold_c=keeping.cold_c,
        keeping_source=keeping.source,
        roast_hot_c=standing.ROAST_HOT_C if is_code else None,
        stand_s=standing.OUT_S,
        stand_warm_s=standing.OUT_WARM_S,
        warm_c=standing.WARM_ROOM_C,
        stand_source=STANDING_SOURCE,
        stand_spoken=NAMES[Jurisdiction.US_FSIS],
        cooling=COOLING,
        reheating=REHEATING,
        reheated_beside=BESIDE[jurisdiction],
        roast_oven=ROAST_OVEN if is_code else None,
        time_only=TIME_ONLY if is_code else None,
    )


def _row(food: Food, jurisdiction: Jurisdiction) -> HeatRow:
    minimum = minimum_for(food, jurisdiction)
    holds, source, z_c = _holds(food, jurisdiction)
    return HeatRow(
        kind=KINDS[food],
        words=tuple(sorted(food_words(food.value))),
        celsius=minimum.celsius,
        hold_s=minimum.hold_s,
        is_rest=minimum.resting,
        source=minimum.source,
        holds=holds,
        holds_source=source,
        z_c=z_c,
        is_flesh=food is not Food.EGGS,
    )


def _holds(food: Food, jurisdiction: Jurisdiction) -> tuple[Holds, str, float | None]:
    """What lower temperatures are worth, by whom, and the z of that; where it is published for this food."""
    if jurisdiction is Jurisdiction.UK_FSA:
        is_minced = food is Food.MINCED
        return (
            (UK_BURGER_HOLDS_C, UK_BURGERS, E_COLI_Z_C) if is_minced else (UK_HOLDS_C, UK_HOLDS, LISTERIA_Z_C)
        )
    if food is Food.MINCED and jurisdiction is Jurisdiction.US_FOOD_CODE:
        return FOOD_CODE_MINCED_C, FOOD_CODE_MINCED, None
    if food in (Food.WHOLE_CUT, Food.FRESH_HAM):
        return FOOD_CODE_ROAST_C, FOOD_CODE_HOLDS, None
    return (), "", None
