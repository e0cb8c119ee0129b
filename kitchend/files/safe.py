"""Published minimum temperatures for raw food, as guidance to compare a plan with.

Source: USDA FSIS, "Safe Minimum Internal Temperature Chart", last updated 14 April 2025. Guidance differs by
country; local rules come first. Nothing here forbids anything.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

SOURCE = "USDA FSIS safe minimum chart, 2025"

ROUNDING_C = 0.2
"""The chart prints 62.8, 71.1, 73.9 for 145, 160, 165 F; the whole degree beside it (71 C) means the same."""

STANDING_S = 2 * 3600
"""USDA: food may be out of the fridge, or off the heat, for two hours (one above 32 C outside)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SafeMinimum:
    """The least temperature inside at which a kind of food counts as cooked, and its rest before cutting."""

    kind: str
    celsius: float
    fahrenheit: int
    rest_s: int = 0

    def is_met_by(self, celsius: float) -> bool:
        """Whether a reading is at or above it, as the chart rounds."""
        return celsius >= self.celsius - ROUNDING_C


POULTRY = SafeMinimum(kind="poultry", celsius=73.9, fahrenheit=165)
GROUND_MEAT = SafeMinimum(kind="ground meat", celsius=71.1, fahrenheit=160)
WHOLE_MEAT = SafeMinimum(kind="whole cuts of meat", celsius=62.8, fahrenheit=145, rest_s=180)
FISH = SafeMinimum(kind="fish and shellfish", celsius=62.8, fahrenheit=145)
EGGS = SafeMinimum(kind="egg dishes", celsius=71.1, fahrenheit=160)

_KINDS = (
    (POULTRY, "poultry chicken turkey duck goose quail pheasant fowl hen 닭 닭고기 오리 오리고기"),
    (GROUND_MEAT, "ground minced mince sausage sausages burger burgers meatballs 다진고기"),
    (WHOLE_MEAT, "meat beef pork veal steak ham ribs 고기 소고기 쇠고기 돼지고기 갈비"),
    (FISH, "fish shellfish seafood salmon cod trout prawns shrimp mussels 생선 새우 조개 오징어"),
    (EGGS, "egg eggs 달걀 계란"),
)


def minimum_for(raw: str) -> SafeMinimum | None:
    """The minimum for what a plan calls raw ("chicken thighs"), None if its kind is not in the chart."""
    words = set(re.findall(r"[a-z]+|[가-힣]+", raw.casefold()))
    return next((minimum for minimum, known in _KINDS if words & set(known.split())), None)
