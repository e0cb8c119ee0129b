"""What each command does and says back, in the states where it matters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from kitchend.core.plan import Dish, DishId, EquipmentId, Use
from kitchend.core.quantities import Scale, Temperature
from kitchend.core.steps import StepState
from tests.core.evening import (
    BASTE,
    CARVE,
    MINUTE,
    PLAN,
    REST,
    ROAST,
    SEVEN,
    STEAM,
    TRIM,
    Evening,
    a_step,
    minutes,
    timeline,
)

Line = tuple[float, str, str]


def play(evening: Evening, lines: Sequence[Line]) -> None:
    """Each line: the minute, what the cook says, what the whole reply must be."""
    for minute, says, reply in lines:
        evening.at_minute(minute)
        assert " ".join(evening.hear(says)) == reply, says


CASES: dict[str, list[Line]] = {
    "naming a called step starts it, naming it again while it runs tells what is left": [
        (5, "roast the chicken", "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."),
        (7, "roast the chicken", "Already on: chicken. Eighteen to twenty eight minutes."),
    ],
    "the time spent on hands before the word counts as gone": [
        (7, "chicken is in", "Chicken on. Eighteen to twenty eight minutes. Wash your hands: raw poultry."),
    ],
    "a hands-only step goes on, then is done": [
        (20, "trim the greens", "Trimming the greens."),
        (22, "greens are on", "Trimming the greens."),
        (24, "trim the greens", "Greens trimmed."),
    ],
    "a hands-only step may be done before it is called": [
        (2, "greens trimmed", "Greens trimmed."),
    ],
    "a dish whose next step is not due says when it is": [
        (2, "steam the greens", "Steam the greens: at six fifty six."),
    ],
    "what is done already is said, and stays so": [
        (20, "greens trimmed", "Greens trimmed."),
        (21, "trim the greens", "Greens trimmed already."),
    ],
    "what has not begun says when it will": [
        (1, "how long on the bird", "Roast the chicken: in four minutes."),
    ],
    "time is given and taken": [
        (5, "chicken is in", "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."),
        (6, "five more minutes on the chicken", "Chicken: twenty four to thirty four minutes to go."),
        (6, "take two minutes off the chicken", "Chicken: twenty two to thirty two minutes to go."),
        (7, "undo that", "Undone: chicken: twenty two to thirty two minutes to go."),
        (
            7,
            "how long on the chicken",
            "Chicken: twenty three to thirty three minutes, until seventy four inside.",
        ),
    ],
    "a step that is up runs again when given time": [
        (20, "greens trimmed", "Greens trimmed."),
        (56, "greens are on", "Greens on. Four minutes."),
        (60.5, "two more minutes on the greens", "Greens: two minutes to go."),
        (61, "how long on the greens", "Greens: two minutes."),
    ],
    "holding keeps what is left and carrying on goes on with it": [
        (20, "greens trimmed", "Greens trimmed."),
        (56, "greens are on", "Greens on. Four minutes."),
        (57, "hold the greens", "Greens held, three minutes to go."),
        (59, "how long on the greens", "Greens: three minutes."),
        (59, "carry on with the greens", "Greens on again. Three minutes."),
        (61, "how long on the greens", "Greens: one minute."),
    ],
    "what is not on cannot be held or carried on": [
        (2, "hold the greens", "Not on: greens."),
        (2, "carry on with the greens", "Not on: greens."),
        (2, "five more minutes on the greens", "Not on: greens."),
    ],
    "hands cannot be held": [
        (20, "trim the greens", "Trimming the greens."),
        (21, "hold the greens", "With you: greens."),
    ],
    "dropping is asked back and no leaves it": [
        (1, "drop the greens", "Drop the greens?"),
        (1.2, "no", "All right."),
        (1.3, "greens trimmed", "Greens trimmed."),
    ],
    "dropping is asked back and silence leaves it": [
        (1, "drop the greens", "Drop the greens?"),
        (2, "yes", "Nothing was asked."),
    ],
    "a dropped dish is gone, and comes back by undo": [
        (1, "drop the greens", "Drop the greens?"),
        (1.2, "yes", "Greens dropped."),
        (1.3, "drop the greens", "Not on: greens."),
        (1.4, "undo that", "Undone: greens dropped."),
        (2, "greens trimmed", "Greens trimmed."),
    ],
    "a question waits while another is answered, and is asked once more": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "when do we eat", "The pass is at seven o'clock. Drop the greens?"),
        (1.4, "yes", "Greens dropped."),
    ],
    "a question waits while another thing is done": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "time the eggs for nine minutes", "Eggs: nine minutes. Drop the greens?"),
        (1.2, "no", "All right."),
    ],
    "a question that is passed over twice is let go": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "when do we eat", "The pass is at seven o'clock. Drop the greens?"),
        (1.2, "what's on", "Nothing is on."),
        (1.3, "yes", "Nothing was asked."),
    ],
    "a question said again is not asked twice over": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "say again", "Drop the greens?"),
        (1.2, "yes", "Greens dropped."),
    ],
    "what is done to the thing itself lets its question go": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "greens trimmed", "Greens trimmed."),
        (1.2, "yes", "Nothing was asked."),
    ],
    "quiet lets a question go": [
        (1, "drop the greens", "Drop the greens?"),
        (1.1, "heard", "Good."),
        (1.2, "yes", "Nothing was asked."),
    ],
    "a new timer is named, asked about, held, given time, dropped": [
        (1, "time the eggs for nine minutes", "Eggs: nine minutes."),
        (2, "how long on the eggs", "Eggs: eight minutes."),
        (2, "hold the eggs", "Eggs held, eight minutes to go."),
        (3, "five more minutes on the eggs", "Eggs: thirteen minutes to go."),
        (3, "carry on with the eggs", "Eggs on again. Thirteen minutes."),
        (4, "drop the eggs", "Drop the eggs?"),
        (4, "yes", "Eggs dropped."),
    ],
    "a timer that has rung says how long ago, and runs again when given time": [
        (1, "time the eggs for two minutes", "Eggs: two minutes."),
        (4.5, "how long on the eggs", "Eggs: up two minutes ago."),
        (4.6, "five more minutes on the eggs", "Eggs: five minutes to go."),
    ],
    "a reminder is repeated back": [
        (1, "remind me in ten minutes to turn the bread", "Ten minutes, then: turn the bread."),
    ],
    "a reading below the target says how far": [
        (5, "chicken is in", "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."),
        (20, "the chicken is at sixty two", "Sixty two: twelve degrees to go. Too soon to say when."),
    ],
    "a reading that falls is asked back": [
        (5, "chicken is in", "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."),
        (20, "the chicken is at sixty two", "Sixty two: twelve degrees to go. Too soon to say when."),
        (20.3, "the chicken is at forty", "Chicken at forty?"),
        (20.4, "yes", "Forty: thirty four degrees to go. Too soon to say when."),
    ],
    "a reading of what does not end by reading is refused": [
        (2, "the greens are at sixty", "Not on: greens."),
    ],
    "the oven's reading is compared with what it should be": [
        (5, "chicken is in", "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."),
        (6, "oven reads two hundred", "Oven at two hundred."),
        (7, "oven reads one fifty", "Oven at one hundred and fifty; it should be two hundred."),
    ],
    "the pass moves by minutes, to a time, and back": [
        (1, "serve fifteen minutes later", "The pass is at seven fifteen."),
        (2, "serve at half past seven", "The pass is at half past seven."),
        (3, "undo that", "Undone: the pass is at half past seven."),
        (4, "when do we eat", "The pass is at seven fifteen."),
    ],
    "a pass cannot be moved into the past": [
        (30, "serve an hour earlier", "The pass is at half past six."),
    ],
    "questions about the whole": [
        (1, "what's next", "Next: roast the chicken, in four minutes."),
        (1, "what's on", "Nothing is on."),
        (1, "are we on time", "On time: seven o'clock."),
        (1, "undo that", "Nothing to undo."),
        (5, "what's next", "Waiting for you: roast the chicken. Next: baste the chicken, in ten minutes."),
        (6, "chicken is in", "Chicken on. Nineteen to twenty nine minutes. Wash your hands: raw poultry."),
        (7, "time the eggs for nine minutes", "Eggs: nine minutes."),
        (7, "what's on", "Eggs, nine minutes; chicken, eighteen to twenty eight minutes."),
    ],
    "say again repeats the last words": [
        (
            5,
            "say again",
            (
                "Roast the chicken now, oven at two hundred, until seventy four inside. "
                "Twenty to thirty minutes."
            ),
        ),
    ],
}


@pytest.mark.parametrize("name", CASES)
def test_conversation(name: str) -> None:
    play(Evening(), CASES[name])


def test_a_step_that_is_up_says_how_long_ago() -> None:
    evening = Evening()
    evening.at_minute(20)
    evening.hear("greens trimmed")
    evening.at_minute(56)
    evening.hear("greens are on")
    evening.at_minute(62)
    assert evening.hear("how long on the greens") == ["Greens: up two minutes ago."]
    assert evening.hear("greens are on") == ["Up already: greens."]


def test_starting_over_a_running_forerunner_is_asked_back() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(29)
    evening.hear("chicken roasted")
    evening.at_minute(36)
    assert evening.where(REST) is StepState.ON
    assert evening.hear("chicken carved") == ["Not done yet: rest the chicken. Carve the chicken anyway?"]
    assert evening.where(REST) is StepState.ON
    evening.hear("yes")
    assert (evening.where(REST), evening.where(CARVE)) == (StepState.DONE, StepState.DONE)


def test_undo_takes_back_a_start_and_its_timer() -> None:
    evening = Evening()
    evening.at_minute(5)
    before = evening.state
    evening.hear("chicken is in")
    assert evening.state.timers
    evening.hear("undo that")
    assert evening.state.records == before.records
    assert evening.state.timers == ()


def test_undo_reaches_back_step_by_step() -> None:
    evening = Evening()
    evening.hear("serve fifteen minutes later")
    evening.hear("time the eggs for nine minutes")
    evening.hear("undo that")
    evening.hear("undo that")
    assert evening.state.timers == ()
    assert evening.state.serve == SEVEN
    assert evening.hear("undo that") == ["Nothing to undo."]


def test_heard_puts_away_a_timer_that_has_rung() -> None:
    evening = Evening()
    evening.hear("time the eggs for two minutes")
    assert evening.at_minute(2) == ["Eggs: time is up."]
    evening.hear("heard")
    assert evening.state.timers == ()


def test_a_reminder_rings_with_its_words() -> None:
    evening = Evening()
    evening.hear("remind me in two minutes to turn the bread")
    assert evening.at_minute(2) == ["Reminder: turn the bread."]


# --- a name that fits several ---

TURN = a_step("turn the greens", "greens", minutes(1), hands_s=60, after=())
TWO_CALLED = replace(
    PLAN,
    dishes=(PLAN.dishes[0], Dish(id=DishId("greens"), name="greens", steps=(TRIM, TURN, STEAM))),
)


@pytest.fixture
def two_called() -> Evening:
    """Two steps of one dish are called in one breath."""
    evening = Evening(
        plan=replace(TWO_CALLED, cooks=2),
        times=timeline({TRIM.id: (1, 7), TURN.id: (1, 2), STEAM.id: (56, 60)}),
    )
    evening.at_minute(1)
    return evening


def test_a_name_that_fits_two_called_steps_is_asked_about(two_called: Evening) -> None:
    assert two_called.hear("greens") == ["Trim the greens, or turn the greens?"]
    assert two_called.where(TRIM) is StepState.CALLED


@pytest.mark.parametrize("answer", ["the first one", "trim the greens"])
def test_the_answer_may_be_a_name_or_a_place(two_called: Evening, answer: str) -> None:
    two_called.hear("greens are done")
    assert two_called.hear(answer) == ["Greens trimmed."]
    assert two_called.where(TURN) is StepState.CALLED


def test_a_place_beyond_the_list_changes_nothing(two_called: Evening) -> None:
    two_called.hear("greens are done")
    assert two_called.hear("the third one") == ["Nothing was asked."]
    assert two_called.where(TRIM) is StepState.CALLED


def test_the_one_called_last_wins_when_it_alone_waits() -> None:
    evening = Evening(
        plan=TWO_CALLED, times=timeline({TRIM.id: (1, 7), TURN.id: (9, 10), STEAM.id: (56, 60)})
    )
    evening.at_minute(9)
    assert evening.state.last_called == (TURN.id,)
    assert evening.hear("greens are done") == ["Greens turned."]
    assert evening.where(TRIM) is StepState.CALLED


def test_it_is_what_was_called_last() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("it's in")
    assert evening.where(ROAST) is StepState.ON


# --- reminders that repeat ---


def test_a_new_repeat_takes_the_place_of_one_never_answered() -> None:
    first = replace(BASTE, id=type(BASTE.id)(f"{BASTE.id}#1"), every_s=300, at_s=300)
    second = replace(first, id=type(BASTE.id)(f"{BASTE.id}#2"), at_s=600)
    chicken = replace(PLAN.dishes[0], steps=(ROAST, first, second, REST, CARVE))
    evening = Evening(
        plan=replace(PLAN, dishes=(chicken, PLAN.dishes[1])),
        times=timeline({ROAST.id: (5, 35), first.id: (10, 12), second.id: (15, 17)}),
    )
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(10)
    assert evening.where(first) is StepState.CALLED
    evening.at_minute(15)
    assert (evening.where(first), evening.where(second)) == (StepState.DROPPED, StepState.CALLED)
    assert evening.hear("chicken basted") == ["Chicken basted."]


def test_reminders_go_with_their_host() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(12)
    evening.hear("chicken roasted")
    assert evening.where(BASTE) is StepState.DROPPED


def test_undo_of_a_hosts_end_brings_its_reminders_back() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(10)
    evening.hear("chicken roasted")
    evening.hear("undo that")
    assert evening.where(ROAST) is StepState.ON
    assert evening.where(BASTE) is StepState.WAITING
    assert "Baste the chicken now. Two minutes." in evening.at_minute(16)


# --- Fahrenheit, guesses, what kitchend adds ---


def test_readings_are_taken_in_the_plans_own_scale() -> None:
    roast = replace(ROAST, until=Temperature(degrees=165, scale=Scale.FAHRENHEIT))
    chicken = replace(PLAN.dishes[0], steps=(roast, REST, CARVE))
    evening = Evening(plan=replace(PLAN, dishes=(chicken,)))
    evening.at_minute(5)
    evening.hear("chicken is in")
    assert evening.hear("the chicken is at one forty five") == [
        "One hundred and forty five: twenty degrees to go. Too soon to say when."
    ]
    assert evening.state.readings[-1].celsius == pytest.approx(62.8, abs=0.05)
    evening.at_minute(25)
    assert evening.hear("the chicken is at one sixty five") == [
        "One hundred and sixty five, that is it. Up: the chicken."
    ]


def test_a_guess_is_looked_at_at_its_low_end_and_up_at_its_high_one() -> None:
    bake = a_step("bake the bread", "bread", minutes(20, 25), hands_s=60, look_for="golden brown", after=())
    plan = replace(PLAN, dishes=(Dish(id=DishId("bread"), name="bread", steps=(bake,)),))
    evening = Evening(plan=plan, times=timeline({bake.id: (5, 30)}))
    evening.at_minute(5)
    evening.hear("bread is in")
    assert evening.at_minute(25) == ["Have a look: the bread. Golden brown?"]
    assert evening.where(bake) is StepState.ON
    assert evening.at_minute(30) == ["Up: the bread. Golden brown?"]
    assert evening.where(bake) is StepState.UP


def test_an_oven_kitchend_added_is_called_answered_and_hot_without_a_word() -> None:
    heat = a_step(
        "heat the oven to 200",
        "oven",
        minutes(15),
        hands_s=30,
        added=True,
        uses=(Use(equipment=EquipmentId("oven"), at=Temperature(degrees=200)),),
    )
    times = replace(timeline({heat.id: (1, 16), ROAST.id: (16, 46)}), added=(heat,))
    evening = Evening(times=times)
    assert evening.at_minute(1) == ["Heat the oven to two hundred now. Fifteen minutes."]
    assert evening.hear("the oven is on") == ["Oven on. Fifteen minutes."]
    assert heat in evening.state.added
    said = evening.at_minute(16)
    assert evening.where(heat) is StepState.DONE
    assert [text for text in said if "oven" in text.lower() and "Heat" in text] == []
    assert MINUTE == 60
    assert STEAM.id not in evening.state.records
