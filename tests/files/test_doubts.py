"""What check asks about though it can be cooked: readings, standing, early centrepieces, names, equipment.

The table is `doubts.txt` beside this file.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from kitchend.core.quantities import parse_temperature
from kitchend.files.safe import EGGS, FISH, GROUND_MEAT, POULTRY, WHOLE_MEAT, SafeMinimum, minimum_for
from tests.files.kitchen import HEAD, cases, checked, warnings, with_step

# USDA FSIS, Safe Minimum Internal Temperature Chart, 14 April 2025: Fahrenheit, Celsius as printed, rest.
# Eggs, fish and poultry have no rest there.
CHART: Mapping[str, tuple[SafeMinimum, int, float, int]] = {
    "poultry": (POULTRY, 165, 73.9, 0),
    "ground meat": (GROUND_MEAT, 160, 71.1, 0),
    "whole cuts": (WHOLE_MEAT, 145, 62.8, 180),
    "fish": (FISH, 145, 62.8, 0),
    "eggs": (EGGS, 160, 71.1, 0),
}

CASES = cases("doubts.txt")


@pytest.mark.parametrize(("contents", "expected"), CASES.values(), ids=CASES)
def test_a_doubt_says_where_and_why(tmp_path: Path, contents: str, expected: list[str]) -> None:
    found = checked(tmp_path, contents)
    assert found.plan
    assert warnings(found) == expected


def test_equipment_that_no_step_uses_is_doubtful(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5 min", "on: hob"))
    assert [(warning.line, warning.field) for warning in found.warnings] == [(3, "equipment.oven")]


@pytest.mark.parametrize(
    "lines",
    [("takes: 5 min", "in: ovne at 200 C"), ("takes: 5 min", "on: hob, many")],
    ids=["misspelt", "miscounted"],
)
def test_equipment_is_not_called_unused_while_a_use_is_unreadable(
    tmp_path: Path, lines: tuple[str, ...]
) -> None:
    found = checked(tmp_path, with_step(*lines))
    assert found.problems
    assert found.warnings == ()


def test_raw_food_is_not_doubted_while_a_reading_is_unreadable(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 50 min", "raw: poultry", "until: 74"))
    assert found.problems
    assert warnings(found) == []


def test_doubts_come_beside_problems_in_one_run(tmp_path: Path) -> None:
    found = checked(tmp_path, HEAD + "      - step: add 2 eggs\n        hands: 1\n")
    assert len(found.problems) == 1
    assert len(warnings(found)) == 1


@pytest.mark.parametrize(("minimum", "fahrenheit", "celsius", "rest_s"), CHART.values(), ids=CHART)
def test_minimums_are_those_of_the_published_chart(
    minimum: SafeMinimum, fahrenheit: int, celsius: float, rest_s: int
) -> None:
    assert (minimum.fahrenheit, minimum.celsius, minimum.rest_s) == (fahrenheit, celsius, rest_s)
    assert minimum.is_met_by(parse_temperature(f"{fahrenheit} F").celsius)
    assert not minimum.is_met_by(parse_temperature(f"{fahrenheit - 1} F").celsius)


@pytest.mark.parametrize(
    ("raw", "minimum"),
    [
        ("poultry", POULTRY),
        ("Turkey breast", POULTRY),
        ("ground turkey", POULTRY),
        ("minced beef", GROUND_MEAT),
        ("pork sausages", GROUND_MEAT),
        ("pork", WHOLE_MEAT),
        ("salmon", FISH),
        ("eggs", EGGS),
        ("eggplant", None),
    ],
)
def test_what_is_called_raw_finds_its_row(raw: str, minimum: SafeMinimum | None) -> None:
    assert minimum_for(raw) is minimum
