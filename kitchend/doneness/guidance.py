"""Published minimum core temperatures of three jurisdictions, as tables with their sources.

Nothing here promises that food is safe: a figure is guidance, and local rules win where they say more.
Temperatures are kept in the degrees in which they are printed, so that they can be shown as printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

FSIS = "USDA FSIS safe minimum internal temperature chart, April 2025"
FOOD_CODE = "FDA Food Code 3-401.11"
UK_FSA = "UK Food Standards Agency, core time and temperature"


class Jurisdiction(Enum):
    """Whose guidance: the words are those of the settings."""

    US_FSIS = "us-fsis"
    US_FOOD_CODE = "us-food-code"
    UK_FSA = "uk-fsa"


class Food(Enum):
    """What a core temperature is asked about."""

    WHOLE_CUT = "whole cut"
    MINCED = "minced"
    POULTRY = "poultry"
    FISH = "fish"
    EGGS = "eggs"
    FRESH_HAM = "fresh ham"
    STUFFED = "stuffed"
    LEFTOVERS = "leftovers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Minimum:
    """One row: reach `celsius` (unrounded) in the core and keep it, or rest, for `hold_s`."""

    celsius: float
    hold_s: int
    resting: bool
    """Whether `hold_s` is a rest off the heat; otherwise it is a hold at the temperature."""
    source: str


def _fahrenheit(degrees: int, hold_s: int, source: str, *, resting: bool = False) -> Minimum:
    return Minimum(celsius=(degrees - 32) / 1.8, hold_s=hold_s, resting=resting, source=source)


_UK = Minimum(celsius=70.0, hold_s=120, resting=False, source=UK_FSA)

MINIMA: dict[Jurisdiction, dict[Food, Minimum]] = {
    Jurisdiction.US_FSIS: {
        Food.WHOLE_CUT: _fahrenheit(145, 180, FSIS, resting=True),
        Food.FRESH_HAM: _fahrenheit(145, 180, FSIS, resting=True),
        Food.MINCED: _fahrenheit(160, 0, FSIS),
        Food.POULTRY: _fahrenheit(165, 0, FSIS),
        Food.EGGS: _fahrenheit(160, 0, FSIS),
        Food.FISH: _fahrenheit(145, 0, FSIS),
        Food.STUFFED: _fahrenheit(165, 0, FSIS),
        Food.LEFTOVERS: _fahrenheit(165, 0, FSIS),
    },
    Jurisdiction.US_FOOD_CODE: {
        Food.WHOLE_CUT: _fahrenheit(145, 15, FOOD_CODE + "(A)(1); roasts by the table of (B)(2)"),
        Food.FRESH_HAM: _fahrenheit(145, 240, FOOD_CODE + "(B)(2)"),
        Food.MINCED: _fahrenheit(155, 17, FOOD_CODE + "(A)(2)"),
        Food.POULTRY: _fahrenheit(165, 1, FOOD_CODE + "(A)(3)"),
        Food.EGGS: _fahrenheit(145, 15, FOOD_CODE + "(A)(1)"),
        Food.FISH: _fahrenheit(145, 15, FOOD_CODE + "(A)(1)"),
        Food.STUFFED: _fahrenheit(165, 1, FOOD_CODE + "(A)(3)"),
        Food.LEFTOVERS: _fahrenheit(165, 15, "FDA Food Code 3-403.11"),
    },
    Jurisdiction.UK_FSA: dict.fromkeys(Food, _UK),
}
"""Poultry in the Food Code is "below one second", kept here as one. The UK's figure is one for all food."""


def minimum_for(food: Food, jurisdiction: Jurisdiction) -> Minimum:
    """The row for a food."""
    return MINIMA[jurisdiction][food]
