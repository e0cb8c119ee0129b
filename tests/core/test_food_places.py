"""Where food is during a step, what kind it is and who touches it, by a plan's words; time at temperature.

The holds are FDA Food Code 3-401.11(B)(2) in Fahrenheit (130 F 112 min, 131 F 89 min, 158 F none).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

import pytest

from kitchend.core.food_places import (
    Place,
    first_word,
    is_in_oven,
    is_perishable,
    place_of,
    raw_reach,
    room_c,
    row_of,
    touches_ready,
)
from kitchend.core.plan import DishId, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import Temperature
from kitchend.core.safety_rules import RoastOven, words_in
from kitchend.core.time_at_heat import done_share, equivalent_hold_s, hold_s
from tests.core.evening import CARVE, REST, ROAST, a_step, minutes
from tests.core.test_safety import RULES, plan_of

TABLE = tuple(((degrees - 32) / 1.8, seconds) for degrees, seconds in ((130, 6720), (131, 5340), (158, 0)))


def step_in(name: str, *places: str | tuple[str, float], **more: object) -> Step:
    uses = (one if isinstance(one, tuple) else (one, None) for one in places)
    made = tuple(
        Use(equipment=EquipmentId(place), at=None if at is None else Temperature(degrees=at))
        for place, at in uses
    )
    return a_step(name, "dish", minutes(5), uses=made, **more)


PLACES = {
    "in an oven": (step_in("roast it", ("oven", 180)), Place.HEAT),
    "on a hob": (step_in("fry it", "hob"), Place.HEAT),
    "cooked wherever": (step_in("boil it"), Place.HEAT),
    "until a reading": (step_in("leave it", until=Temperature(degrees=70)), Place.HEAT),
    "in a slow bath until a reading": (
        step_in("warm it", ("bath", 57), until=Temperature(degrees=56)),
        Place.HEAT,
    ),
    "held hot": (step_in("hold it", ("drawer", 65)), Place.HEAT),
    "held too cool": (step_in("hold it", ("drawer", 55)), Place.OUT),
    "in a warm room": (step_in("stand it", ("terrace", 30)), Place.OUT),
    "in the cold": (step_in("stand it", ("cellar shelf", 4)), Place.KEPT),
    "in a fridge": (step_in("keep it", "fridge"), Place.KEPT),
    "in a cool box": (step_in("stand it", "cool box"), Place.KEPT),
    "chilled wherever": (step_in("chill it"), Place.KEPT),
    "cooled on ice": (step_in("cool it", "ice bath"), Place.KEPT),
    "cooled on the table until a reading": (step_in("cool it", until=Temperature(degrees=21)), Place.OUT),
    "carved": (step_in("carve it", "board"), Place.OUT),
    "without a name": (step_in(""), Place.OUT),
    "in Korean, on a ring": (step_in("된장국 끓이기", "화구"), Place.HEAT),
    "in Korean, cooked wherever": (step_in("시금치 데치기"), Place.HEAT),
    "in Korean, carved": (step_in("생선 담기"), Place.OUT),
    "in Korean, chilled": (step_in("묵 식히기", "냉장고"), Place.KEPT),
}


@pytest.mark.parametrize(("step", "place"), PLACES.values(), ids=PLACES)
def test_a_step_s_words_say_where_food_is(step: Step, place: Place) -> None:
    assert place_of(step, RULES) is place


def test_only_a_place_in_the_danger_zone_is_a_room() -> None:
    assert room_c(step_in("stand it", ("terrace", 34)), RULES) == 34
    assert room_c(step_in("hold it", ("drawer", 60)), RULES) is None
    assert room_c(step_in("stand it"), RULES) is None
    assert first_word(step_in("")) == ""


KINDS: dict[str, tuple[Step, str | None]] = {
    "by what is raw": (a_step("roast it", "joint", minutes(5), raw="beef"), "whole cuts of meat"),
    "by the dish alone": (a_step("roast it", "chicken", minutes(5)), "poultry"),
    "made into burgers": (a_step("shape burgers", "beef", minutes(5), raw="beef"), "minced meat"),
    "beside minced garlic": (a_step("mince it", "beef", minutes(5), raw="beef"), "whole cuts of meat"),
    "minced poultry stays poultry": (a_step("fry burgers", "x", minutes(5), raw="chicken"), "poultry"),
    "stuffed": (a_step("roast it", "stuffed beef", minutes(5), raw="beef"), "stuffed food"),
    "raw and of no known kind": (a_step("knead it", "chicken pie", minutes(5), raw="flour"), None),
    "a ham by name": (a_step("glaze it", "ham", minutes(5)), None),
    "nothing known": (a_step("peel it", "squash", minutes(5)), None),
}


@pytest.mark.parametrize(("step", "kind"), KINDS.values(), ids=KINDS)
def test_words_say_what_kind_of_food_it_is(step: Step, kind: str | None) -> None:
    row = row_of(plan_of(step), step, RULES)
    assert (row.kind if row else None) == kind


def test_of_two_raw_kinds_the_stricter_counts() -> None:
    beef = a_step("dice the beef", "pie", minutes(5), raw="beef")
    hen = a_step("dice the chicken", "pie", minutes(5), raw="chicken", after=(beef.id,))
    bake = a_step("bake the pie", "pie", minutes(5), after=(hen.id,))
    assert row_of(plan_of(beef, hen, bake), bake, RULES) == RULES.rows[0]


def dish_of(name: str, **more: object) -> tuple[Plan, Step]:
    step = a_step("bake it", name, minutes(5), **more)
    return plan_of(step), step


@pytest.mark.parametrize(
    ("name", "until", "perishes"),
    [
        ("chicken", 74, True),
        ("greens", 80, True),
        ("bread", 96, False),
        ("rice", None, True),
        ("beans", None, False),
    ],
)
def test_what_perishes(name: str, until: int | None, perishes: bool) -> None:
    plan, step = dish_of(name, until=None if until is None else Temperature(degrees=until))
    assert is_perishable(plan, step, RULES) is perishes
    # What kitchend adds, such as a heating, is of no dish.
    added = replace(step, dish=DishId("oven"), id=StepId("oven/heat"), until=None, added=True)
    assert not is_perishable(plan, added, RULES)


def test_what_is_eaten_as_it_is_has_no_heat_to_come() -> None:
    slaw = a_step("dress the slaw", "slaw", minutes(5), hands_s=300)
    wash = a_step("wash the hands", "washing", minutes(1), hands_s=60)
    brush = a_step("brush it", "chicken", minutes(1), hands_s=60, during=ROAST.id)
    plan = plan_of(ROAST, REST, CARVE, slaw, wash, brush)
    ready = [step.name for step in plan.steps if touches_ready(plan, step, RULES)]
    assert ready == ["carve the chicken", "dress the slaw"]


def test_raw_hands_reach_as_far_as_the_first_heat() -> None:
    salt = a_step("salt the chicken", "chicken", minutes(5), hands_s=300, raw="poultry")
    roast = replace(ROAST, after=(salt.id,), raw=None)
    slaw = a_step("dress the slaw", "slaw", minutes(5), hands_s=300, after=(salt.id,))
    plan = plan_of(salt, roast, REST, CARVE, slaw)
    assert raw_reach(plan, salt, RULES) == {salt.id, roast.id}


def test_ways_that_meet_again_are_walked_once() -> None:
    mix = a_step("mix it", "pie", minutes(5), raw="beef")
    left, right = (a_step(f"fold {one}", "pie", minutes(5), after=(mix.id,)) for one in ("left", "right"))
    join = a_step("join it", "pie", minutes(5), after=(left.id, right.id))
    assert raw_reach(plan_of(mix, left, right, join), mix, RULES) == {mix.id, left.id, right.id, join.id}


def test_holds_are_read_between_rows_and_never_rounded_down() -> None:
    assert hold_s(TABLE, 54.0) is None
    assert hold_s(TABLE, (130 - 32) / 1.8) == 6720
    between = hold_s(TABLE, (130.5 - 32) / 1.8)
    assert between is not None
    assert 5340 < between < 6720
    assert hold_s(TABLE, 60.0) == 5340, "the last row has no logarithm"
    assert hold_s(TABLE, 71.0) == 0
    assert hold_s((), 71.0) is None


def test_a_hold_adds_up_at_the_lower_end_of_each_stretch() -> None:
    assert done_share(TABLE, [0, 2670, 3000], [55.0, 56.0, 50.0]) == pytest.approx(0.5)
    assert done_share(TABLE, [0], [70.0]) == 1.0
    assert done_share(TABLE, [], []) == 0.0


# UK Food Standards Agency: two minutes at 70 C, z = 7.5 C (FSAI, 2018); 62.5 C is worth a tenth of that.
def test_one_integrator_reckons_readings_as_a_hold_at_one_temperature() -> None:
    worth = partial(equivalent_hold_s, reference_c=70.0, z_c=7.5)
    assert worth([0, 120], [70.0, 70.0]) == pytest.approx(120)
    assert worth([0, 300], [62.5, 62.5]) == pytest.approx(30)
    assert worth([0, 100], [62.5, 70.0]) == pytest.approx(100 * 0.9 / math.log(10))
    assert worth([0, 600], [62.5, 70.0]) == pytest.approx(60), "a long gap counts at its lower end"
    with pytest.raises(ValueError, match="2 times for 1"):
        worth([0, 9], [60.0])
    with pytest.raises(ValueError, match="go back"):
        worth([0, 9, 5], [60.0, 60.0, 60.0])


def test_a_row_with_a_curve_judges_by_it_and_counts_nothing_below_its_first_hold() -> None:
    uk = replace(RULES.rows[0], celsius=70.0, hold_s=120, holds=((60.0, 2700), (70.0, 120)), z_c=7.5)
    assert uk.held_share([0, 60], [70.0, 70.0]) == pytest.approx(0.5)
    assert uk.held_share([0, 6000], [59.0, 59.0]) < 1e-6
    plain = replace(uk, z_c=None)
    assert plain.held_share([0, 1350], [60.0, 60.0]) == pytest.approx(0.5)


def test_words_are_folded_and_nothing_has_none() -> None:
    assert words_in("Pork, and 2 EGGS", None, "") == {"pork", "and", "eggs"}


NOT_READINGS = {
    "a time short": ([0.0], [60.0, 61.0], 6.0, "1 times for 2"),
    "no number": ([0.0, 9.0], [60.0, math.nan], 6.0, "finite"),
    "back in time": ([9.0, 0.0], [60.0, 61.0], 6.0, "go back at place 1"),
    "no z": ([0.0, 9.0], [60.0, 61.0], 0.0, "z of 0.0"),
    "a z without end": ([0.0, 9.0], [60.0, 61.0], math.inf, "z of inf"),
}


@pytest.mark.parametrize(("times", "temps", "z_c", "says"), NOT_READINGS.values(), ids=NOT_READINGS)
def test_what_is_no_run_of_readings_is_worth_nothing_but_an_error(
    times: list[float], temps: list[float], z_c: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        equivalent_hold_s(times, temps, reference_c=70.0, z_c=z_c)


def test_no_number_has_no_hold_and_no_share() -> None:
    with pytest.raises(ValueError, match="number"):
        hold_s(TABLE, math.nan)
    with pytest.raises(ValueError, match="go back"):
        done_share(TABLE, [9.0, 0.0], [60.0, 60.0])


def test_an_oven_roasts_in_hot_air_and_a_ring_does_not() -> None:
    assert is_in_oven(step_in("roast it", ("small oven", 120)))
    assert is_in_oven(step_in("생선 굽기", ("오븐", 200)))
    assert not is_in_oven(step_in("fry it", "hob"))


# FDA Food Code 3-401.11(B)(1): below 10 lb at least 325 F with a fan, from there on 250 F.
def test_a_light_roast_wants_the_hotter_oven_and_an_unknown_one_the_least() -> None:
    oven = RoastOven(large_kg=4.536, large_c=121, small_c=177, small_fan_c=163, moist_c=121, source="")
    assert [oven.least_c(weight) for weight in (None, 4.0, 4.536, 9.0)] == [121, 163, 121, 121]
