"""One jurisdiction's guidance as the rules that a plan is checked by and a dinner lives by.

Joins the tables beside it with the words in which plans name food. Of the two American sets the Food Code
alone publishes holds for lower temperatures of whole cuts; they are named as the Food Code's in both.
"""

from __future__ import annotations

from functools import cache

from kitchend.core.food_words import words_for
from kitchend.core.safety_rules import HeatRow, SafetyRules
from kitchend.doneness import standing
from kitchend.doneness.guidance import Food, Jurisdiction, minimum_for
from kitchend.doneness.lethality import FOOD_CODE_ROAST_C, UK_BURGER_HOLDS_C, UK_HOLDS_C

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
"""How each kind of food is called; the words that mean it are looked for in this order."""

NAMES = {
    Jurisdiction.US_FSIS: "the USDA",
    Jurisdiction.US_FOOD_CODE: "the Food Code",
    Jurisdiction.UK_FSA: "the Food Standards Agency",
}
FOOD_CODE_HOLDS = "FDA Food Code 3-401.11(B)(2)"
UK_HOLDS = "UK Food Standards Agency, equivalents of 70 C for 2 minutes"
UK_BURGERS = "ACMSF, safe cooking of burgers, 2007"
STANDING_SOURCE = "USDA two-hour rule"


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
        stand_s=int(standing.OUT_S),
        stand_warm_s=int(standing.OUT_WARM_S),
        warm_c=standing.WARM_ROOM_C,
        stand_source=STANDING_SOURCE,
        stand_spoken=NAMES[Jurisdiction.US_FSIS],
    )


def _row(food: Food, jurisdiction: Jurisdiction) -> HeatRow:
    kind = KINDS[food]
    minimum = minimum_for(food, jurisdiction)
    holds, source = _holds(food, jurisdiction)
    return HeatRow(
        kind=kind,
        words=words_for(kind),
        celsius=minimum.celsius,
        hold_s=minimum.hold_s,
        is_rest=minimum.resting,
        source=minimum.source,
        holds=holds,
        holds_source=source,
        is_flesh=food is not Food.EGGS,
    )


def _holds(food: Food, jurisdiction: Jurisdiction) -> tuple[tuple[tuple[float, int], ...], str]:
    """What lower temperatures are worth, where that is published for this food."""
    if jurisdiction is Jurisdiction.UK_FSA:
        return (UK_BURGER_HOLDS_C, UK_BURGERS) if food is Food.MINCED else (UK_HOLDS_C, UK_HOLDS)
    if food in (Food.WHOLE_CUT, Food.FRESH_HAM):
        return FOOD_CODE_ROAST_C, FOOD_CODE_HOLDS
    return (), ""
