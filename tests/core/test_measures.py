"""Weights, thicknesses and shapes: read as cooks write them, refused with how to write them."""

from __future__ import annotations

import pytest

from kitchend.core.measures import parse_shape, parse_thickness, parse_weight
from kitchend.core.plan import Shape
from kitchend.core.quantities import QuantityError


@pytest.mark.parametrize(
    ("text", "kilograms"),
    # The pound is 0.45359237 kg exactly, an ounce a sixteenth of it: 28.349523125 g.
    [
        ("2.5 kg", 2.5),
        ("2,5 kilos", 2.5),
        ("900 g", 0.9),
        ("1 lb", 0.45359237),
        ("8 oz", 8 * 0.028349523125),
        ("5 lb 8 oz", 5.5 * 0.45359237),
        ("5 pounds and 8 ounces", 5.5 * 0.45359237),
        ("1kg 200g", 1.2),
    ],
)
def test_a_weight_is_kilograms(text: str, kilograms: float) -> None:
    assert parse_weight(text) == pytest.approx(kilograms)


@pytest.mark.parametrize(("text", "metres"), [("9 cm", 0.09), ("90 mm", 0.09), ("3.5 in", 0.0889)])
def test_a_thickness_is_metres(text: str, metres: float) -> None:
    assert parse_thickness(text) == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "shape"),
    [("flat", Shape.FLAT), ("Long", Shape.LONG), ("round", Shape.ROUND), ("slab", Shape.FLAT)],
)
def test_a_shape_is_one_of_three(text: str, shape: Shape) -> None:
    assert parse_shape(text) is shape


@pytest.mark.parametrize(
    "text", ["", " ", "4", "kg", "4 stone", "4 kg 4 kg", "4 kg or so", "0 kg", "90 kg", "-2 kg"]
)
def test_what_is_no_weight_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_weight(text)


@pytest.mark.parametrize("text", ["", "9", "9 kg", "1 mm", "2 in 4 in", "1000 cm"])
def test_what_is_no_thickness_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_thickness(text)


def test_what_is_no_shape_is_refused() -> None:
    with pytest.raises(QuantityError, match="tall is no shape"):
        parse_shape("tall")
