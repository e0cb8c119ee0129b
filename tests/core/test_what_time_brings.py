"""What becomes due and may not be called yet, what goes on by itself, what is held; all that is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import Instant
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.steps import StepState
from tests.core.evening import REST as REST_CHICKEN
from tests.core.evening import START, TIMES_MIN, Evening, a_step, minutes, timeline

OVEN, STEAMER = EquipmentId("oven"), EquipmentId("steamer")


def oven(celsius: float, places: int = 1) -> Use:
    return Use(equipment=OVEN, places=places, at=Temperature(degrees=celsius))


IN_STEAMER = (Use(equipment=STEAMER),)
GREENS = a_step("steam the greens", "greens", minutes(6), hands_s=60, uses=IN_STEAMER)
BUNS = a_step("steam the buns", "buns", minutes(8), hands_s=60, uses=IN_STEAMER)
PIE = a_step("bake the pie", "pie", minutes(10), hands_s=60, uses=(oven(200),))
BREAD = a_step("bake the bread", "bread", minutes(20), hands_s=60, uses=(oven(205),))
MERINGUE = a_step("dry the meringue", "meringue", minutes(20), hands_s=60, uses=(oven(120),))
HEAT = a_step("heat the oven to 200", "oven", minutes(15), uses=(oven(200, 0),), added=True)
TURN = a_step("turn the oven to 120", "oven", minutes(5), uses=(oven(120, 0),), added=True)


def kitchen(times: dict[StepId, tuple[float, float]], *steps: Step, added: tuple[Step, ...] = ()) -> Evening:
    """A dinner of these steps, each its own dish, in an oven of two shelves and a steamer of one tier."""
    dishes = tuple(Dish(id=step.dish, name=str(step.dish), steps=(step,)) for step in steps)
    things = (
        Equipment(id=OVEN, name="oven", places=2, preheat_s=900),
        Equipment(id=STEAMER, name="steamer"),
    )
    plan = Plan(name="Supper", equipment=things, dishes=dishes)
    return Evening(plan, replace(timeline(times), added=added))


# --- room ---


def full_steamer() -> Evening:
    evening = kitchen({GREENS.id: (5, 11), BUNS.id: (11, 19)}, GREENS, BUNS)
    evening.at_minute(5)
    evening.hear("greens are on")
    return evening


def test_what_is_up_and_still_in_its_place_has_to_be_taken_out_before_the_next_is_called() -> None:
    evening = full_steamer()
    warning = "Get ready: steam the buns in two minutes, once the greens are out."
    assert evening.at_minute(11.2) == [warning, "Up: the greens."]
    assert evening.at_minute(12) == ["Take the greens from the steamer first. Then: steam the buns."]
    assert evening.where(BUNS) is StepState.WAITING
    assert evening.hear("greens are done") == ["Greens steamed. Steam the buns now. Eight minutes."]


def test_a_reminder_of_what_stands_in_the_way_is_made_at_once_where_none_is_to_come() -> None:
    evening = kitchen({GREENS.id: (5, 11), BUNS.id: (14, 22)}, GREENS, BUNS)
    evening.at_minute(5)
    evening.hear("greens are on")
    evening.at_minute(11.2)
    evening.hear("heard")
    assert evening.at_minute(13.9) == []
    assert evening.at_minute(14) == ["Take the greens from the steamer first. Then: steam the buns."]


def test_what_stands_in_the_way_is_told_of_once_and_then_repeated_like_any_call() -> None:
    evening = full_steamer()
    said = evening.at_minute(14)
    first = "Take the greens from the steamer first. Then: steam the buns."
    assert said[1:] == ["Up: the greens.", first, first]


def test_what_is_on_in_the_place_is_waited_for_in_silence() -> None:
    evening = full_steamer()
    evening.hear("five more minutes on the greens")
    assert evening.at_minute(15.9) == []
    assert evening.at_minute(16) == ["Up: the greens."]


def test_a_place_that_is_free_is_not_waited_for() -> None:
    evening = kitchen({PIE.id: (5, 15), BREAD.id: (10, 30)}, PIE, BREAD)
    evening.at_minute(5)
    evening.hear("pie is in")
    assert evening.at_minute(10) == ["Bake the bread now, oven at two hundred and five. Twenty minutes."]


def test_heats_eighteen_fahrenheit_apart_share_an_oven_as_ten_celsius_do() -> None:
    """245 and 263 F are 10 C apart; as fractions in binary they come out a little further."""
    pie, bread = (
        replace(step, uses=(Use(equipment=OVEN, at=Temperature(degrees=degrees, scale=Scale.FAHRENHEIT)),))
        for step, degrees in ((PIE, 245), (BREAD, 263))
    )
    evening = kitchen({pie.id: (5, 15), bread.id: (10, 30)}, pie, bread)
    evening.at_minute(5)
    evening.hear("pie is in")
    assert evening.at_minute(10) == [
        "Bake the bread now, oven at two hundred and sixty three. Twenty minutes."
    ]


def test_a_step_that_wants_another_heat_waits_till_the_oven_is_empty() -> None:
    evening = kitchen({PIE.id: (5, 15), MERINGUE.id: (15, 35)}, PIE, MERINGUE)
    evening.at_minute(5)
    evening.hear("pie is in")
    evening.at_minute(15)
    assert evening.at_minute(16) == ["Take the pie out first. Then: dry the meringue."]
    assert evening.hear("pie is out") == [
        "Pie baked. Dry the meringue now, oven at one hundred and twenty. Twenty minutes."
    ]


def test_an_oven_is_not_turned_while_something_is_in_it_that_cannot_stand_it() -> None:
    evening = kitchen({PIE.id: (5, 15), TURN.id: (15, 20)}, PIE, added=(TURN,))
    evening.at_minute(5)
    evening.hear("pie is in")
    evening.at_minute(15)
    assert evening.at_minute(16) == ["Take the pie out first. Then: turn the oven to one hundred and twenty."]
    assert evening.where(TURN) is StepState.WAITING


# --- heat ---


def heated(at: float) -> Evening:
    """An oven called for at once and a pie planned for then."""
    return kitchen({HEAT.id: (1, 16), PIE.id: (at, at + 10)}, PIE, added=(HEAT,))


def test_what_goes_in_is_called_with_the_word_that_the_oven_is_hot() -> None:
    evening = heated(16)
    evening.at_minute(1)
    evening.hear("oven is on")
    assert evening.at_minute(16) == ["The oven is hot: bake the pie now. Ten minutes."]


def test_what_is_due_before_the_oven_is_hot_waits_for_it() -> None:
    evening = heated(16)
    evening.at_minute(1)
    evening.hear("heard")
    evening.at_minute(6)
    evening.hear("oven is on")
    assert evening.at_minute(15.9) == []
    assert evening.at_minute(21) == ["The oven is hot: bake the pie now. Ten minutes."]


def test_an_oven_that_gets_hot_with_nothing_waiting_for_it_is_silent() -> None:
    evening = heated(30)
    evening.at_minute(1)
    evening.hear("oven is on")
    assert evening.at_minute(27.9) == []
    assert evening.at_minute(30)[1:] == ["Bake the pie now, oven at two hundred. Ten minutes."]


def test_an_oven_nobody_answered_for_is_taken_to_have_been_lit_when_it_was_called() -> None:
    evening = heated(5)
    evening.at_minute(1)
    evening.hear("heard")
    assert evening.at_minute(15.9) == []
    assert evening.at_minute(16) == ["Bake the pie now, oven at two hundred. Ten minutes."]


def test_only_the_first_into_a_hot_oven_is_told_that_it_is_hot() -> None:
    times: dict[StepId, tuple[float, float]] = {HEAT.id: (1, 16), PIE.id: (16, 26), BREAD.id: (17, 37)}
    evening = kitchen(times, PIE, BREAD, added=(HEAT,))
    evening.at_minute(1)
    evening.hear("oven is on")
    evening.at_minute(16)
    evening.hear("pie is in")
    assert evening.at_minute(17) == ["Bake the bread now, oven at two hundred and five. Twenty minutes."]


@pytest.mark.parametrize("answer", ["oven is on", "heard", None])
def test_an_oven_that_something_was_put_into_is_spoken_of_no_more(answer: str | None) -> None:
    evening = heated(16)
    evening.at_minute(1)
    if answer is not None:
        evening.hear(answer)
    evening.at_minute(1.2)
    evening.hear("pie is in")
    assert evening.where(HEAT) is StepState.DONE
    assert evening.at_minute(9) == []
    assert not any("oven" in call.text.lower() for call in evening.state.open_calls)
    evening.hear("undo that")
    assert evening.where(HEAT) is (StepState.ON if answer == "oven is on" else StepState.CALLED)


def test_an_oven_with_something_in_it_at_another_heat_is_still_to_be_turned() -> None:
    times: dict[StepId, tuple[float, float]] = {PIE.id: (1, 11), TURN.id: (12, 17), MERINGUE.id: (17, 37)}
    evening = kitchen(times, PIE, MERINGUE, added=(TURN,))
    evening.at_minute(1)
    evening.hear("pie is in")
    evening.at_minute(12)
    evening.hear("oven is on")
    assert evening.where(TURN) is StepState.ON


# --- what looks after itself ---


def test_a_rest_goes_on_when_what_it_follows_is_done_and_not_at_its_planned_time() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(27)
    evening.hear("chicken is at seventy four")
    assert evening.hear("roast the chicken done") == [
        "Chicken roasted. Wash your hands: raw poultry. Rest the chicken: ten minutes, starting now."
    ]
    assert evening.state.record_of(REST_CHICKEN.id).on_at == START.after(27 * 60).instant


def test_taking_back_the_word_takes_back_the_rest_that_came_of_it() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(27)
    evening.hear("roast the chicken done")
    assert evening.where(REST_CHICKEN) is StepState.ON
    evening.hear("undo that")
    assert evening.where(REST_CHICKEN) is StepState.WAITING
    assert [timer.name for timer in evening.state.timers] == ["roast the chicken"]


MIX = a_step("mix the dough", "dough", minutes(4), hands_s=240, keeps_s=None)
PROVE = a_step("prove the dough", "dough", minutes(10), after=(MIX.id,), keeps_s=300)
FIRM = a_step("firm the dough", "dough", minutes(5), after=(PROVE.id,), keeps_s=None)
SHAPE = a_step("shape the dough", "dough", minutes(4), hands_s=240, after=(FIRM.id,))


def dough(prove_at: float, **mix: int | None) -> Evening:
    """Dough that is mixed at five minutes past and proves as planned; then it firms up and is shaped."""
    steps = (replace(MIX, **mix), PROVE, FIRM, SHAPE)  # type: ignore[arg-type]  # keyword facts of a Step
    plan = Plan(name="Bread", dishes=(Dish(id=DishId("dough"), name="dough", steps=steps),))
    times = {
        MIX.id: (5, 9),
        PROVE.id: (prove_at, prove_at + 10),
        FIRM.id: (prove_at + 20, prove_at + 25),
        SHAPE.id: (prove_at + 25, prove_at + 29),
    }
    evening = Evening(plan, timeline(times))
    evening.at_minute(5)
    evening.hear("mix the dough")
    evening.at_minute(9)
    evening.hear("dough mixed")
    return evening


def on_at(evening: Evening, step: Step) -> float:
    began = evening.state.record_of(step.id).on_at
    assert isinstance(began, Instant)
    return (began - START.instant) / 60


def test_what_would_stand_too_long_waits_for_its_time_while_what_it_follows_keeps() -> None:
    evening = dough(prove_at=30)
    assert evening.where(PROVE) is StepState.WAITING
    assert evening.at_minute(30) == ["Prove the dough: ten minutes, starting now."]
    assert on_at(evening, PROVE) == 30


def test_what_stands_too_long_already_is_taken_to_rest_since_it_was_done() -> None:
    evening = dough(prove_at=30, keeps_s=120)
    assert on_at(evening, PROVE) == 9


def test_one_rest_follows_another_from_the_moment_that_was_up_however_late_the_tick() -> None:
    evening = dough(prove_at=9)
    evening.now = START.after(21 * 60)
    evening.at_minute(21)
    assert evening.where(PROVE) is StepState.DONE
    assert on_at(evening, FIRM) == 19


def test_a_rest_that_nothing_follows_is_over_by_itself_and_is_said_once() -> None:
    cool = a_step("cool the sauce", "sauce", minutes(10), after=(MIX.id,), keeps_s=None)
    steps = (MIX, cool)
    plan = Plan(name="Sauce", dishes=(Dish(id=DishId("sauce"), name="sauce", steps=steps),))
    evening = Evening(plan, timeline({MIX.id: (5, 9), cool.id: (9, 19)}))
    evening.at_minute(5)
    assert evening.hear("dough mixed") == ["Dough mixed. Cool the sauce: ten minutes, starting now."]
    assert evening.at_minute(40) == ["Up: the sauce. That was the last step. The pass is at seven o'clock."]
    assert evening.where(cool) is StepState.DONE


def test_a_rest_whose_forerunner_was_left_out_waits_for_its_time() -> None:
    evening = dough(prove_at=30)
    evening.hear("undo that")
    evening.hear("drop that")
    evening.hear("yes")
    assert evening.where(MIX) is StepState.DROPPED
    assert evening.where(PROVE) is StepState.WAITING


def test_a_rest_is_repeated_by_nobody() -> None:
    evening = Evening(times=timeline({**TIMES_MIN, StepId("chicken/carve-the-chicken"): (55, 60)}))
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(27)
    evening.hear("roast the chicken done")
    said = [text for text in evening.at_minute(54) if "p: the chicken" in text]
    assert said == ["Up: the chicken."]


# --- held ---


@pytest.fixture
def held() -> Evening:
    evening = full_steamer()
    evening.at_minute(7)
    evening.hear("hold the greens")
    return evening


def moments(evening: Evening, words: str, *, until: int) -> list[float]:
    found: list[float] = []
    for minute in range(round((evening.now.instant - START.instant) / 60) + 1, until):
        found += [minute] * sum(words in text for text in evening.at_minute(minute))
    return found


def test_a_held_step_is_reminded_of_after_five_minutes_and_then_rarely(held: Evening) -> None:
    assert moments(held, "Still held: steam the greens.", until=120) == [12, 27, 57]


def test_a_held_step_that_was_heard_of_is_not_spoken_of_again(held: Evening) -> None:
    held.at_minute(12)
    held.hear("heard")
    assert moments(held, "held", until=100) == []


def test_hearing_another_call_does_not_silence_what_is_held(held: Evening) -> None:
    held.hear("heard")
    assert moments(held, "Still held: steam the greens.", until=20) == [12]


def test_carrying_on_ends_the_reminders_and_holding_again_begins_them_anew(held: Evening) -> None:
    held.at_minute(12)
    held.hear("heard")
    held.hear("carry on with the greens")
    held.at_minute(13)
    held.hear("hold the greens")
    assert moments(held, "Still held: steam the greens.", until=30) == [18]


def test_what_was_called_last_is_named_when_it_is_to_be_left_out() -> None:
    evening = full_steamer()
    assert evening.hear("drop that") == ["Leave out: steam the greens?"]


def test_a_call_held_up_by_a_few_words_does_not_say_how_late_it_is_but_a_long_wait_is_told() -> None:
    for late_s, said in ((10, "Up: the greens."), (60, "Up: the greens, one minute ago.")):
        evening = full_steamer()
        evening.now = START.after(11 * 60 + late_s)
        evening.at_minute(11 + late_s / 60)
        assert evening.said[-1] == said
