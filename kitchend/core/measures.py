"""Weights, thicknesses and shapes as a plan writes them. Units are never guessed.

Raises QuantityError, which says what was wrong and how to mend it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from kitchend.core.plan import Shape
from kitchend.core.quantities import LONGEST_TEXT, QuantityError
from kitchend.core.tongue import clause

LEAST_KG, MOST_KG = 0.02, 60.0
LEAST_M, MOST_M = 0.005, 0.4
"""From a thin fillet to what barely fits into a smoker."""

_POUND_KG, _INCH_M = 0.45359237, 0.0254
_MASSES_KG = {
    **dict.fromkeys(("g", "gram", "grams"), 0.001),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), 1.0),
    **dict.fromkeys(("oz", "ounce", "ounces"), _POUND_KG / 16),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), _POUND_KG),
}
_LENGTHS_M = {
    **dict.fromkeys(("mm", "millimetre", "millimetres"), 0.001),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 0.01),
    **dict.fromkeys(("in", "inch", "inches"), _INCH_M),
}
_PART = re.compile(r"(\d{1,5}(?:[.,]\d{1,3})?)\s*([a-z]+)\.?\s*(?:and\s+)?")
_SHAPES = {
    **dict.fromkeys(("flat", "slab"), Shape.FLAT),
    **dict.fromkeys(("long", "rolled", "cylinder"), Shape.LONG),
    **dict.fromkeys(("round", "ball", "sphere"), Shape.ROUND),
}


def parse_weight(text: str) -> float:
    """Kilograms from "2.5 kg", "900 g", "5 lb 8 oz"."""
    found = _measured(text, _MASSES_KG, "measure.weight")
    if not LEAST_KG <= found <= MOST_KG:
        raise QuantityError(clause("measure.piece", text=_echo(text)), clause("measure.piece.hint"))
    return found


def parse_thickness(text: str) -> float:
    """Metres from "9 cm", "90 mm" or "3.5 in"."""
    found = _measured(text, _LENGTHS_M, "measure.thickness")
    if not LEAST_M <= found <= MOST_M:
        raise QuantityError(clause("measure.thick", text=_echo(text)), clause("measure.thick.hint"))
    return found


def parse_shape(text: str) -> Shape:
    """A shape from "flat", "long" or "round"."""
    found = _SHAPES.get(" ".join(text.lower().split()))
    if found is None:
        raise QuantityError(clause("measure.shape", text=_echo(text)), clause("measure.shape.hint"))
    return found


def _measured(text: str, units: Mapping[str, float], key: str) -> float:
    """A sum of numbers with units, each unit given once."""
    words, place, total = " ".join(text.lower().split()), 0, 0.0
    seen: set[float] = set()
    while place < len(words) or not seen:
        part = _PART.match(words, place)
        unit = units.get(part[2]) if part else None
        if part is None or unit is None or unit in seen:
            raise QuantityError(clause(key, text=_echo(text)), clause(f"{key}.hint"))
        seen.add(unit)
        total, place = total + float(part[1].replace(",", ".")) * unit, part.end()
    return total


def _echo(text: str) -> str:
    return " ".join(text.split())[:LONGEST_TEXT]
