"""Asked back: numbers that sound alike, odd numbers, names that fit several, phrases that throw work away.

What is asked back has changed nothing yet; the answer needs no address phrase; no answer changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.core.amounts import with_number
from kitchend.core.clock import TimeOfDay
from kitchend.core.commands import AwaySaid, GiveTime, NumberSaid, ReadingSaid, StartDinner, TimeNew
from kitchend.core.intents import understand
from kitchend.core.numbers import words_of
from kitchend.core.phrases import sayable
from kitchend.core.state import Asked, Choice, DinnerState, Unsure
from tests.core.evening import Evening
from tests.core.lighthouse import BUSY, DOUBTING, EGGS, MANNERS, NOW

SOUND_ALIKE = [(teen, 10 * (teen - 10)) for teen in range(13, 20)] + [(5, 9), (25, 29), (35, 39), (45, 49)]
"""Teens and tens differ in stress and a final n; "five" and "nine" share their vowel. The pairs are those of
aviation, where "niner" and "fife" are said for that reason (ICAO Annex 10, volume II, 5.2)."""

PAIRS = [*SOUND_ALIKE, *((other, one) for one, other in SOUND_ALIKE)]

SENTENCES = {
    "more time": "{n} more minutes on the chicken",
    "less time": "take {n} minutes off the chicken",
    "a timer": "time the eggs for {n} minutes",
    "a reminder": "remind me in {n} minutes to turn the bread",
    "the pass": "serve {n} minutes later",
    "a reading": "the chicken is at {n}",
}


def cooking() -> Evening:
    """The chicken went on at five past six; it is twenty past."""
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(20)
    return evening


def is_asking(evening: Evening) -> bool:
    return evening.state.asked is not None


def untouched(state: DinnerState) -> tuple[object, ...]:
    """What of a state must not move while a question is open."""
    return state.records, state.timers, state.readings, state.serve, state.past


@pytest.mark.parametrize("sentence", SENTENCES.values(), ids=SENTENCES)
@pytest.mark.parametrize(("meant", "other"), PAIRS)
def test_numbers_that_sounded_alike_are_read_back_before_anything_moves(
    sentence: str, meant: int, other: int
) -> None:
    evening = cooking()
    before = untouched(evening.state)
    text, doubt = (sentence.format(n=words_of(n)) for n in (meant, other))
    assert evening.hear(text, doubts=(doubt,)) == [f"{text[0].upper()}{text[1:]}?"]
    assert untouched(evening.state) == before
    assert evening.hear("no") == ["All right."]
    assert untouched(evening.state) == before


ANSWERS: dict[str, tuple[str, str]] = {
    "yes": ("yes", "Eggs: fifteen minutes."),
    "yes with the number": ("yes fifteen", "Eggs: fifteen minutes."),
    "the number": ("fifteen", "Eggs: fifteen minutes."),
    "the number and its unit": ("yes fifteen minutes", "Eggs: fifteen minutes."),
    "yes, and the other number": ("yes fifty", "Eggs: fifty minutes."),
    "no, and the other number": ("no fifty", "Eggs: fifty minutes."),
    "another number": ("no twelve minutes", "Eggs: twelve minutes."),
    "another number in other words": ("half an hour", "Eggs: thirty minutes."),
    "as digits": ("no, 50", "Eggs: fifty minutes."),
}


@pytest.mark.parametrize(("answer", "reply"), ANSWERS.values(), ids=ANSWERS)
def test_a_number_read_back_is_answered_in_any_way(answer: str, reply: str) -> None:
    evening = cooking()
    evening.hear("time the eggs for fifteen minutes", doubts=("time the eggs for fifty minutes",))
    heard = evening.hear(answer, is_typed=False)
    assert heard == [reply]
    assert evening.state.asked is None


def test_an_answer_in_doubt_is_read_back_itself() -> None:
    evening = cooking()
    evening.hear("time the eggs for fifteen minutes", doubts=("time the eggs for fifty minutes",))
    assert evening.hear("fifty", doubts=("fifteen",)) == ["Fifty?"]
    assert evening.hear("yes") == ["Eggs: fifty minutes."]


@pytest.mark.parametrize(("heard", "other"), [("yes", "no"), ("no", "yes")])
def test_a_yes_or_no_in_doubt_has_the_question_asked_again(heard: str, other: str) -> None:
    evening = cooking()
    before = untouched(evening.state)
    asked = evening.hear("time the eggs for fifteen minutes", doubts=("time the eggs for fifty minutes",))
    assert evening.hear(heard, doubts=(other,)) == asked
    assert untouched(evening.state) == before
    assert evening.hear("yes") == ["Eggs: fifteen minutes."]


def test_an_answer_that_is_no_such_number_changes_nothing() -> None:
    evening = cooking()
    before = untouched(evening.state)
    evening.hear("drop the greens")
    assert evening.hear("half past seven") == ["Nothing was asked."]
    assert evening.hear("fifty") == ["Nothing was asked."]
    assert untouched(evening.state) == before


Line = tuple[str, str]
ODD: dict[str, Sequence[Line]] = {
    "an hour more for what takes half of one": [
        ("an hour more on the chicken", "An hour more for the chicken?"),
        ("no five minutes", "Chicken: ten to twenty minutes to go."),
    ],
    "more off than there is": [
        ("take fifty minutes off the chicken", "Fifty minutes off the chicken? That is all there is."),
        ("no", "All right."),
        ("take two minutes off the chicken", "Chicken: three to thirteen minutes to go."),
    ],
    "a timer for most of a day": [
        ("time the eggs for nine hours", "Eggs: nine hours?"),
        ("no nine minutes", "Eggs: nine minutes."),
        ("time the eggs for eight hours", "Eggs: eight hours?"),
        ("yes eight hours", "Eggs: eight hours."),
        ("undo that", "Undone: eggs: eight hours."),
        ("two hours more on the eggs", "Two hours more for the eggs?"),
        ("yes", "Eggs: two hours and nine minutes to go."),
    ],
    "a reminder for tomorrow": [
        ("remind me in ten hours to turn the bread", "Ten hours, then: turn the bread?"),
        ("yes", "Ten hours, then: turn the bread."),
    ],
    "a reading that nothing reaches": [
        ("the chicken is at one hundred and sixty", "Chicken at one hundred and sixty?"),
        ("no sixty", "Sixty: fourteen degrees to go. Too soon to say when."),
    ],
    "an oven that reads like a fridge": [
        ("oven reads nineteen", "Oven at nineteen?"),
        ("no one ninety", "Oven at one hundred and ninety."),
    ],
    "a pass hours away": [
        ("serve at half past eleven", "The pass at half past eleven?"),
        ("no half past seven", "The pass is at half past seven."),
        ("serve three hours later", "The pass at half past ten?"),
        ("yes", "The pass is at half past ten."),
    ],
}


@pytest.mark.parametrize("lines", ODD.values(), ids=ODD)
def test_an_odd_number_is_read_back(lines: Sequence[Line]) -> None:
    evening = cooking()
    for text, reply in lines:
        before = untouched(evening.state)
        assert evening.hear(text) == [reply]
        assert (untouched(evening.state) == before) == (
            reply.endswith("?") or reply.startswith(("All", "Fifty"))
        )


THROWS_WORK_AWAY = {
    "a dish": ("drop the greens", "Drop the greens?"),
    "what was called last": ("drop that", "Leave out: trim the greens?"),
}


@pytest.mark.parametrize("answer", ["no", "", "when do we eat"])
@pytest.mark.parametrize(("text", "question"), THROWS_WORK_AWAY.values(), ids=THROWS_WORK_AWAY)
def test_what_throws_work_away_is_asked_back_and_only_yes_does_it(
    text: str, question: str, answer: str
) -> None:
    evening = cooking()
    evening.hear(answer or "heard")
    before = untouched(evening.state)
    assert evening.hear(text) == [question]
    evening.hear(answer)
    assert untouched(evening.state) == before


@pytest.mark.parametrize(
    ("text", "doubts"),
    [
        ("time the eggs for fifteen minutes", ("time the eggs for fifty minutes",)),
        ("drop the greens", ()),
        ("time the eggs for nine hours", ()),
        ("serve at half past eleven", ()),
    ],
)
def test_a_question_nobody_answers_lapses_and_changes_nothing(text: str, doubts: tuple[str, ...]) -> None:
    evening = cooking()
    before = untouched(evening.state)
    evening.hear(text, doubts=doubts)
    assert is_asking(evening)
    evening.at_minute(21)
    assert not is_asking(evening)
    assert untouched(evening.state) == before
    assert evening.hear("yes") == ["Nothing was asked."]
    assert untouched(evening.state) == before


def test_answers_are_heard_without_the_address_phrase_and_questions_about_numbers_take_numbers() -> None:
    about_a_number = Choice(name="yes", command=TimeNew(name="eggs", seconds=900))
    asked = replace(DOUBTING, asked=Asked(text="Fifteen?", lapses=NOW + 30, yes=about_a_number))
    taken = ("yes", "no", "fifty", "no fifty", "yes fifty minutes", "half an hour", "one", "no one")
    assert [text for text in taken if not sayable(asked, NOW).accepts(text)] == []
    assert [text for text in taken[2:] if sayable(DOUBTING, NOW).accepts(text)] == []
    about_degrees = ReadingSaid(name="salmon", degrees=62)
    hot = Asked(text="", lapses=NOW + 30, yes=Choice(name="yes", command=about_degrees))
    assert sayable(replace(DOUBTING, asked=hot), NOW).accepts("no fifty two degrees")
    late = StartDinner(plan="x", serve=TimeOfDay(7))
    when = Asked(text="", lapses=NOW + 30, yes=Choice(name="yes", command=late))
    assert sayable(replace(DOUBTING, asked=when), NOW).accepts("no half past seven")


@pytest.mark.parametrize(
    ("words", "command"),
    [
        ("half past seven", StartDinner(plan="x", serve=TimeOfDay(7, 30))),
        ("fifty minutes", None),
    ],
)
def test_a_dinner_asked_about_takes_a_time_of_day(words: str, command: StartDinner | None) -> None:
    assert with_number(StartDinner(plan="x", serve=TimeOfDay(7)), words) == command


def test_time_taken_off_stays_taken_off_with_another_number() -> None:
    assert with_number(GiveTime(name="eggs", seconds=-300), "nine") == GiveTime(name="eggs", seconds=-540)
    assert with_number(GiveTime(name="eggs", seconds=-300), "zero") is None


def test_how_long_kitchend_was_away_is_answered_with_a_number_alone() -> None:
    away = replace(BUSY, unsure=Unsure(timers=(EGGS.id,)), manners=replace(MANNERS, is_open=True))
    assert sayable(away, NOW).accepts("ten minutes")
    assert understand("ten minutes", away).command == NumberSaid(words="ten minutes")
    evening = cooking()
    evening.state = replace(evening.state, unsure=Unsure(timers=()))
    assert evening.hear("half past seven") == ["Nothing was asked."]
    assert evening.hear("ten minutes") == ["So I was away for ten minutes."]
    assert AwaySaid(seconds=600) == understand("about ten minutes", away).command


@settings(max_examples=100, deadline=None)
@given(n=st.integers(1, 999))
def test_any_number_on_its_own_is_read_as_said(n: int) -> None:
    assert understand(words_of(n), DOUBTING).command == NumberSaid(words=words_of(n))


@pytest.mark.parametrize("doubt", ["chicken", "roast the chicken is on", "chicken is done"])
def test_nobody_is_asked_which_where_both_come_to_the_same(doubt: str) -> None:
    """The chicken was called and is not on: its name, "on" and "done" all begin it."""
    evening = Evening()
    evening.at_minute(5)
    assert evening.hear("chicken is in", doubts=(doubt,)) == evening.hear("say again")
    assert not is_asking(evening)


def test_one_is_asked_which_once_they_differ() -> None:
    evening = cooking()
    before = untouched(evening.state)
    assert evening.hear("chicken is in", doubts=("chicken is done",)) == ["Chicken is in?"]
    assert untouched(evening.state) == before


def test_okay_answers_the_question_else_the_call_else_nothing() -> None:
    """ "Yes" is an answer and no more: said too late, it changes nothing."""
    evening = Evening()
    assert evening.hear("okay") == ["Nothing was asked."]
    evening.at_minute(5)
    assert evening.state.open_calls
    assert evening.hear("yes") == ["Nothing was asked."]
    assert evening.state.open_calls
    assert evening.hear("okay then") == ["Good."]
    assert not evening.state.open_calls
    evening.hear("time the eggs for fifteen minutes", doubts=("time the eggs for fifty minutes",))
    assert evening.hear("okay") == ["Eggs: fifteen minutes."]
