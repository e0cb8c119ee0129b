"""What really happens in the kitchen: true times, hands in turn, honest thermometers."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import Instant
from kitchend.core.plan import DishId, Step, StepId
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.rehearsal.world import HUMAN_PACE, STEADY_PACE, Nature, World, celsius_after, nature_of

START = Instant(1000.0)
ROAST = Step(
    id=StepId("chicken/roast"),
    dish=DishId("chicken"),
    name="roast the chicken",
    hands_s=120,
    takes=DurationRange(low_s=2400, high_s=3000),
    until=Temperature(degrees=74),
)
FIVE_MIN, FOUR_MIN = DurationRange(low_s=300, high_s=300), DurationRange(low_s=240, high_s=240)
TRIM = replace(ROAST, id=StepId("greens/trim"), until=None, hands_s=300, takes=FIVE_MIN)
STEAM = replace(ROAST, id=StepId("greens/steam"), until=None, hands_s=60, takes=FOUR_MIN)
NATURES = {TRIM.id: Nature(hands_s=300.0, takes_s=300.0), STEAM.id: Nature(hands_s=60.0, takes_s=240.0)}


def world_with(step: Step, takes_s: float = 2700.0) -> World:
    return World(natures={step.id: Nature(hands_s=float(step.hands_s), takes_s=takes_s)})


# Centre of the worked roast in Kreith's heat transfer textbook: a sphere of 1.5 kg, density 1000, c 4000,
# k 0.5, h 18, from 20 C, oven at 163 C. Minutes and degrees Celsius by the full series; 77 C at 132.79 min.
KREITH = (
    *((0, 20.0), (30, 20.53), (45, 23.90), (60, 30.71)),
    *((75, 39.72), (90, 49.64), (105, 59.64), (120, 69.27)),
)


@pytest.mark.parametrize(("minutes", "celsius"), KREITH, ids=[f"{m} min" for m, _ in KREITH])
def test_the_inside_warms_like_a_published_roast(minutes: float, celsius: float) -> None:
    assert celsius_after(minutes / 132.79, 20.0, 77.0) == pytest.approx(celsius, abs=4.0)


@given(st.floats(0.0, 2699.0), st.floats(0.0, 2699.0))
def test_readings_rise_and_stay_below_the_target_until_it_is_ready(one: float, other: float) -> None:
    world = world_with(ROAST)
    world.begin(ROAST, START)

    early, late = sorted((one, other))

    assert world.reads(ROAST, START + early) <= world.reads(ROAST, START + late) < 74


@pytest.mark.parametrize("after_s", [2700.0, 2800.0, 9000.0])
def test_the_target_shows_once_it_is_ready(after_s: float) -> None:
    world = world_with(ROAST)
    world.begin(ROAST, START)

    assert world.ready_at(ROAST) == START + 2700.0
    assert world.reads(ROAST, START + after_s) == 74


def test_fahrenheit_plans_are_read_in_fahrenheit() -> None:
    custard = replace(ROAST, until=Temperature(degrees=175, scale=Scale.FAHRENHEIT))
    world = world_with(custard)
    world.begin(custard, START)

    assert world.reads(custard, START) == 42  # 6 C
    assert world.reads(custard, START + 2700.0) == 175


def test_a_thermometer_is_worth_a_word_once_it_has_moved() -> None:
    world = world_with(ROAST)
    assert not world.has_stirred(ROAST, START)
    world.begin(ROAST, START)

    stirred = [world.has_stirred(ROAST, START + after_s) for after_s in (0.0, 900.0, 1500.0, 2700.0)]

    assert stirred == [False, False, True, True]


def test_what_is_to_get_cold_reads_downwards() -> None:
    chill = replace(ROAST, until=Temperature(degrees=5))
    world = world_with(chill)
    world.begin(chill, START)

    assert world.reads(chill, START) == 65
    assert world.reads(chill, START + 2600.0) > 5
    assert world.reads(chill, START + 2700.0) == 5


def test_a_thermometer_needs_something_begun() -> None:
    with pytest.raises(ValueError, match="roast the chicken has no reading"):
        world_with(ROAST).reads(ROAST, START)


def test_two_works_need_one_pair_of_hands_one_after_the_other() -> None:
    world = World(natures=NATURES)

    assert world.begin(TRIM, START) == START + 300.0
    assert world.begin(STEAM, START + 10.0) == START + 360.0
    assert world.began[STEAM.id] == START + 300.0


def test_two_cooks_work_side_by_side() -> None:
    world = World(natures=NATURES, hands=[Instant(0.0), Instant(0.0)])

    world.begin(TRIM, START)

    assert world.begin(STEAM, START + 10.0) == START + 70.0


@given(st.integers(0, 10_000))
def test_a_steady_kitchen_never_takes_longer_than_planned(seed: int) -> None:
    for step in (ROAST, TRIM, STEAM):
        nature = nature_of(step, STEADY_PACE, Random(seed))
        assert nature.hands_s <= step.hands_s
        assert nature.takes_s <= step.takes.high_s


@given(st.integers(0, 10_000))
def test_a_fixed_time_is_the_timers_in_any_kitchen(seed: int) -> None:
    assert nature_of(STEAM, HUMAN_PACE, Random(seed)).takes_s == 240.0


def test_one_seed_makes_one_world() -> None:
    def made(seed: int) -> dict[StepId, Nature]:
        world = World(natures={})
        world.learn((ROAST, TRIM, STEAM), HUMAN_PACE, Random(seed))
        return world.natures

    assert made(7) == made(7)
    assert made(7) != made(8)


def test_a_step_met_again_keeps_its_nature() -> None:
    world = world_with(ROAST)

    world.learn((ROAST, TRIM), HUMAN_PACE, Random(1))

    assert world.natures[ROAST.id].takes_s == 2700.0
    assert TRIM.id in world.natures


def test_what_is_done_was_begun() -> None:
    world = world_with(TRIM)

    world.finish(TRIM, START)

    assert (world.began[TRIM.id], world.ended[TRIM.id]) == (START, START)
