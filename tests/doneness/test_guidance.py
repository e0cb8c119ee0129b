"""Minimum temperatures, keeping, cooling and reheating against the published figures."""

from __future__ import annotations

import pytest

from kitchend.doneness.guidance import MINIMA, Food, Jurisdiction, is_below, minimum_for
from kitchend.doneness.standing import (
    KEEPING,
    Cooling,
    cooling_of,
    is_in_danger_zone,
    is_reheated,
    left_to_stand_s,
    may_stand_s,
)

FSIS, CODE, UK = Jurisdiction.US_FSIS, Jurisdiction.US_FOOD_CODE, Jurisdiction.UK_FSA
HOUR = 3600


def celsius(degrees_f: float) -> float:
    return (degrees_f - 32) / 1.8


# USDA FSIS, safe minimum internal temperature chart, 14 April 2025: as printed in C, and the rest in seconds.
@pytest.mark.parametrize(
    ("food", "printed_c", "rest_s"),
    [
        (Food.WHOLE_CUT, 62.8, 180),
        (Food.FRESH_HAM, 62.8, 180),
        (Food.MINCED, 71.1, 0),
        (Food.POULTRY, 73.9, 0),
        (Food.EGGS, 71.1, 0),
        (Food.FISH, 62.8, 0),
        (Food.LEFTOVERS, 73.9, 0),
    ],
)
def test_the_fsis_chart_is_as_printed(food: Food, printed_c: float, rest_s: int) -> None:
    row = minimum_for(food, FSIS)
    assert (round(row.celsius, 1), row.hold_s) == (printed_c, rest_s)
    assert not is_below(printed_c, food, FSIS)
    assert is_below(printed_c - 0.5, food, FSIS)


def test_sixty_three_counts_as_one_hundred_and_forty_five_fahrenheit() -> None:
    # foodsafety.gov rounds 145 F to 63 C.
    assert not is_below(63.0, Food.FISH, FSIS)


# Food Code 3-401.11(A)(1) to (3), 2017 and later; UK: 70 C for two minutes.
def test_jurisdictions_differ_and_each_names_its_source() -> None:
    minced = [
        (round(minimum_for(Food.MINCED, who).celsius, 1), minimum_for(Food.MINCED, who).hold_s)
        for who in Jurisdiction
    ]
    assert minced == [(71.1, 0), (68.3, 17), (70.0, 120)]
    assert all(row.source for rows in MINIMA.values() for row in rows.values())
    assert all(set(rows) == set(Food) for rows in MINIMA.values())


# USDA 40 to 140 F; Food Code 3-501.16 41 and 135 F, roasts 130 F; UK 8 and 63 C.
def test_the_danger_zone_is_the_jurisdictions_own() -> None:
    assert [is_in_danger_zone(celsius(137), who) for who in Jurisdiction] == [True, False, True]
    assert [is_in_danger_zone(6.0, who) for who in Jurisdiction] == [True, True, False]
    assert is_in_danger_zone(celsius(132), CODE)
    assert not is_in_danger_zone(celsius(130), CODE, roast_by_table=True)
    assert is_in_danger_zone(celsius(132), FSIS, roast_by_table=True)
    assert not is_in_danger_zone(63.0, UK)
    assert KEEPING[UK].cold_c == 8.0


# USDA statement of 2016: two hours, one above 90 F.
def test_food_stands_two_hours_or_one_in_the_heat() -> None:
    assert [may_stand_s(room) for room in (None, 20.0, celsius(90), 33.0)] == [7200, 7200, 7200, 3600]
    assert left_to_stand_s(4000, 35.0) == -400


# Food Code 3-501.14; the case of one hour to 70 F leaving five is the National Restaurant Association's.
def test_a_quick_first_cooling_leaves_the_rest_of_six_hours() -> None:
    times, temps = [0, HOUR], [celsius(135), celsius(70)]
    state = cooling_of(times, temps, now_s=HOUR)
    assert (state.state, state.left_s) == (Cooling.ON_COURSE, 5 * HOUR)
    done = cooling_of([*times, 6 * HOUR], [*temps, celsius(41)], now_s=7 * HOUR)
    assert done.state is Cooling.DONE


def test_a_cooling_that_is_late_for_either_line_is_told_apart() -> None:
    hot = [celsius(160), celsius(135)]
    assert cooling_of([0, 600], hot, now_s=600 + 2 * HOUR).state is Cooling.ON_COURSE
    assert cooling_of([0, 600], hot, now_s=601 + 2 * HOUR).state is Cooling.TOO_SLOW_FIRST
    late = cooling_of([0, HOUR, 7 * HOUR], [57.3, 20.0, 4.0], now_s=7 * HOUR)
    assert late.state is Cooling.TOO_SLOW
    with pytest.raises(ValueError, match="no readings"):
        cooling_of([], [], now_s=0)


# Food Code 3-403.11: 165 F for 15 seconds within two hours.
def test_reheating_needs_its_fifteen_seconds_in_time() -> None:
    hot = celsius(165)
    assert is_reheated([0, 100, 115], [10, hot, hot])
    assert not is_reheated([0, 100, 110], [10, hot, hot])
    assert not is_reheated([0, 100, 110, 120], [10, hot, 70, hot])
    assert not is_reheated([0, 7300, 7320], [10, hot, hot])
