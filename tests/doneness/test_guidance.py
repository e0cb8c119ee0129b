"""Minimum temperatures, keeping, cooling and reheating against the published figures."""

from __future__ import annotations

import pytest

from kitchend.core.cooling import Cooling, cooling_of
from kitchend.core.quantities import parse_temperature
from kitchend.core.safety_rules import CoolingLimits
from kitchend.doneness.guidance import MINIMA, Food, Jurisdiction, minimum_for
from kitchend.doneness.rules import KINDS, rules_for
from kitchend.doneness.standing import KEEPING

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
    rules = rules_for(FSIS)
    (known,) = (one for one in (*rules.rows, rules.reheated) if one.kind == KINDS[food])
    assert known.is_met_by(printed_c)
    assert not known.is_met_by(printed_c - 0.5)


def test_sixty_three_counts_as_one_hundred_and_forty_five_fahrenheit() -> None:
    # foodsafety.gov rounds 145 F to 63 C.
    (fish,) = rules_for(FSIS).rows_of(["fish"])
    assert fish.is_met_by(63.0)


# Food Code 3-401.11(A)(1) to (3), 2017 and later; UK: 70 C for two minutes.
def test_jurisdictions_differ_and_each_names_its_source() -> None:
    minced = [
        (round(minimum_for(Food.MINCED, who).celsius, 1), minimum_for(Food.MINCED, who).hold_s)
        for who in Jurisdiction
    ]
    assert minced == [(71.1, 0), (68.3, 17), (70.0, 120)]
    assert all(row.source for rows in MINIMA.values() for row in rows.values())
    assert all(set(rows) == set(Food) for rows in MINIMA.values())


# FDA Food Code 3-401.11(A)(1): 145 F 15 s; (A)(2): 155 F 17 s; (A)(3): 165 F below one second, here one.
@pytest.mark.parametrize(
    ("food", "degrees_f", "hold_s"),
    [
        (Food.WHOLE_CUT, 145, 15),
        (Food.FISH, 145, 15),
        (Food.EGGS, 145, 15),
        (Food.MINCED, 155, 17),
        (Food.POULTRY, 165, 1),
        (Food.STUFFED, 165, 1),
    ],
)
def test_the_food_code_is_as_printed(food: Food, degrees_f: int, hold_s: int) -> None:
    row = minimum_for(food, CODE)
    assert (round(row.celsius * 1.8 + 32, 6), row.hold_s) == (degrees_f, hold_s)


# The same article: 145 F 3 min, 150 F 1 min, 155 F 17 s, 158 F below one second.
def test_minced_meat_of_the_food_code_may_be_held_lower_for_longer() -> None:
    rules = rules_for(CODE)
    printed = ((145, 180), (150, 60), (155, 17), (158, 1))
    assert [(round(at * 1.8 + 32), seconds) for at, seconds in rules.minced.holds] == list(printed)
    assert rules.minced.held_share([0, 180], [celsius(145)] * 2) == pytest.approx(1.0)
    assert rules_for(FSIS).minced.holds == ()


# Charts print 140, 145, 160 and 165 F as 60, 62.8, 71.1 and 73.9 C.
@pytest.mark.parametrize(("degrees_f", "printed_c"), [(140, 60.0), (145, 62.8), (160, 71.1), (165, 73.9)])
def test_fahrenheit_is_celsius_as_charts_print_it(degrees_f: int, printed_c: float) -> None:
    written = parse_temperature(f"{degrees_f} F")
    assert round(written.celsius, 1) == printed_c


# USDA 40 to 140 F; Food Code 3-501.16 41 and 135 F, roasts 130 F; UK 8 and 63 C.
def test_the_danger_zone_is_the_jurisdictions_own() -> None:
    fsis, code, uk = map(rules_for, (FSIS, CODE, UK))
    assert [rules_for(who).is_in_danger_zone(celsius(137)) for who in Jurisdiction] == [True, False, True]
    assert [rules_for(who).is_in_danger_zone(6.0) for who in Jurisdiction] == [True, True, False]
    assert code.is_in_danger_zone(celsius(132))
    assert not code.is_in_danger_zone(celsius(130), is_roast=True)
    assert fsis.is_in_danger_zone(celsius(132), is_roast=True)
    assert not uk.is_in_danger_zone(63.0)
    assert [rules_for(who).is_in_danger_zone(celsius(100)) for who in Jurisdiction] == [True] * 3
    assert not any(fsis.is_in_danger_zone(celsius(degrees)) for degrees in (40, 140))
    assert KEEPING[UK].cold_c == 8.0


# USDA statement of 2016: two hours, one above 90 F.
def test_food_stands_two_hours_or_one_in_the_heat() -> None:
    may_stand = rules_for(FSIS).may_stand_s
    assert [may_stand(room) for room in (None, 20.0, celsius(90), 33.0)] == [7200, 7200, 7200, 3600]


def limits() -> CoolingLimits:
    found = rules_for(CODE).cooling
    assert found is not None
    return found


# Food Code 3-501.14: 135 to 70 F in two hours, to 41 F in six in all, four where it never was hot.
def test_the_limits_of_cooling_and_reheating_are_as_published_in_every_jurisdiction() -> None:
    printed = [round(one * 1.8 + 32) for one in (limits().first_c, limits().middle_c, limits().last_c)]
    assert printed == [135, 70, 41]
    assert (limits().first_s, limits().total_s, limits().ambient_s) == (2 * HOUR, 6 * HOUR, 4 * HOUR)
    for who in Jurisdiction:
        rules = rules_for(who)
        assert rules.cooling == limits()
        # Food Code 3-403.11: within two hours.
        assert rules.reheating is not None
        assert (rules.reheating.within_s, rules.reheating.source) == (2 * HOUR, "FDA Food Code 3-403.11")


# Food Code 3-403.11: 165 F for 15 seconds; FSIS: leftovers to 165 F.
def test_reheated_food_reaches_one_hundred_and_sixty_five() -> None:
    assert [
        (round(rules_for(who).reheated.celsius), rules_for(who).reheated.hold_s) for who in (FSIS, CODE)
    ] == [
        (74, 0),
        (74, 15),
    ]


# The case of one hour to 70 F leaving five is the National Restaurant Association's.
def test_a_quick_first_cooling_leaves_the_rest_of_six_hours() -> None:
    times, temps = [0, HOUR], [celsius(135), celsius(70)]
    going = cooling_of(limits(), times, temps, now_s=HOUR)
    assert (going.state, going.left_s, going.aim_c) == (Cooling.ON_COURSE, 5 * HOUR, limits().last_c)
    done = cooling_of(limits(), [*times, 6 * HOUR], [*temps, celsius(41)], now_s=7 * HOUR)
    assert done.state is Cooling.DONE


def test_a_cooling_that_is_late_for_either_line_is_told_apart() -> None:
    hot = [celsius(160), celsius(135)]
    assert cooling_of(limits(), [0, 600], hot, now_s=600 + 2 * HOUR).state is Cooling.ON_COURSE
    late = cooling_of(limits(), [0, 600], hot, now_s=601 + 2 * HOUR)
    assert (late.state, late.aim_c, late.limit_s) == (Cooling.LATE_FIRST, limits().middle_c, 2 * HOUR)
    whole = cooling_of(limits(), [0, HOUR, 7 * HOUR], [57.3, 20.0, 4.0], now_s=7 * HOUR)
    assert (whole.state, whole.aim_c, whole.limit_s) == (Cooling.LATE, limits().last_c, 6 * HOUR)
    with pytest.raises(ValueError, match="no readings"):
        cooling_of(limits(), [], [], now_s=0)


# FSIS chart, April 2025: fully cooked ham, reheated: packed in an inspected plant 140 F, all others 165 F.
def test_a_cooked_ham_from_an_inspected_plant_has_its_own_row() -> None:
    beside = rules_for(FSIS).reheated_beside
    assert beside is not None
    assert (round(beside.celsius, 1), "ham" in beside.words) == (60.0, True)
    assert round(rules_for(FSIS).reheated.celsius, 1) == 73.9


# Food Code 3-403.11: packed by a plant 135 F. Scotland reheats to 82 C (Food Hygiene (Scotland) Regulations
# 2006, as taught).
def test_other_guidance_for_reheating_stands_beside_the_jurisdictions_own() -> None:
    code, uk = (rules_for(who).reheated_beside for who in (CODE, UK))
    assert code is not None
    assert uk is not None
    assert (round(code.celsius * 1.8 + 32), code.source) == (135, "FDA Food Code 3-403.11")
    assert (uk.celsius, "Scotland" in uk.source) == (82.0, True)


# Food Code 3-401.11(B)(1), the same in 18 AAC 31.232 Table C: below 10 lb still dry 350 F, convection 325 F;
# from 10 lb 250 F; high humidity 250 F at most.
def test_ovens_for_roasts_are_the_food_codes() -> None:
    oven = rules_for(CODE).roast_oven
    assert oven is not None
    printed = [round(one * 1.8 + 32) for one in (oven.small_c, oven.small_fan_c, oven.large_c, oven.moist_c)]
    assert printed == [350, 325, 250, 250]
    assert oven.large_kg == pytest.approx(4.536, abs=0.001)
    least_f = [round(oven.least_c(weight) * 1.8 + 32) for weight in (None, 2.0, 4.53, 4.54, 8.0)]
    assert least_f == [250, 325, 325, 250, 250]
    assert rules_for(FSIS).roast_oven is None


# Food Code 3-501.19: time alone for 4 hours, or for 6 where food stays at 70 F or less.
def test_time_alone_is_a_control_in_the_food_code_only() -> None:
    only = rules_for(CODE).time_only
    assert only is not None
    assert (only.any_s, only.cold_s, round(only.cold_c * 1.8 + 32)) == (4 * HOUR, 6 * HOUR, 70)
    assert rules_for(UK).time_only is None
