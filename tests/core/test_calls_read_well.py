"""What a cook would have asked about: names that fit several, time that has run out, "and" in a name."""

from __future__ import annotations

import pytest

from kitchend.core import wording, wording_calls
from kitchend.core.tongue import speaking
from tests.core.evening import Evening


def cooking() -> Evening:
    """The chicken went on at five past six, to be basted at a quarter past."""
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    return evening


def test_how_long_on_what_was_called_and_is_not_on_says_that_it_waits() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("heard")
    assert evening.hear("how long on the chicken") == ["Waiting for you: roast the chicken."]


def test_what_is_on_names_what_has_run_out_without_seconds() -> None:
    evening = cooking()
    evening.hear("time the eggs for one minute")
    evening.at_minute(7)
    assert evening.hear("what's on") == ["Eggs, up; chicken, eighteen to twenty eight minutes."]


def test_a_core_that_is_past_its_guess_is_said_to_be() -> None:
    evening = cooking()
    evening.hear("quiet for one hour")
    evening.at_minute(35)
    said = evening.hear("what's on")[0]
    assert "seconds" not in said
    assert "chicken" in said.lower()


def test_a_name_alone_is_no_repeat_where_two_things_have_it() -> None:
    """The chicken roasts and is to be basted: "Chicken." would be either."""
    evening = cooking()
    assert evening.at_minute(15) == ["Baste the chicken now. Two minutes."]
    assert evening.at_minute(17.1) == ["Baste the chicken.", "Baste the chicken."]


def test_a_name_alone_is_repeat_enough_where_nothing_else_has_it() -> None:
    evening = Evening()
    evening.at_minute(5)
    assert evening.at_minute(7)[-1] == "Chicken."


def test_a_reminder_comes_back_shorter() -> None:
    evening = Evening()
    evening.hear("remind me in one minute to turn the bread")
    assert evening.at_minute(1.1) == ["Reminder: turn the bread."]
    assert evening.at_minute(1.6) == ["Turn the bread."]


def test_two_timers_of_one_name_are_named_once() -> None:
    evening = Evening()
    evening.hear("time the eggs for one minute")
    evening.hear("time the eggs for two minutes")
    evening.at_minute(2.1)
    assert evening.hear("what did i miss") == ["Still up: the eggs."]


LISTS = {
    "two": (["the rice", "the eggs"], "Up: the rice and the eggs."),
    "three": (["the rice", "the eggs", "the leeks"], "Up: the rice, the eggs and the leeks."),
    "a name with and": (["the rice and beans", "the eggs"], "Up: the rice and beans, and the eggs."),
    "the same twice": (["the eggs", "the eggs"], "Up: the eggs."),
}


@pytest.mark.parametrize(("up", "expected"), LISTS.values(), ids=LISTS)
def test_what_is_up_is_listed(up: list[str], expected: str) -> None:
    assert wording_calls.things(up, ()) == expected


DEGREES = {
    ("en", 1): "one degree",
    ("en", 12): "twelve degrees",
    ("en", 0): "zero degrees",
    ("ko", 1): "일 도",
    ("ko", 12): "십이 도",
}


@pytest.mark.parametrize(("asked", "expected"), DEGREES.items(), ids=map(str, DEGREES))
def test_what_is_missing_to_a_target_is_said_in_degrees(asked: tuple[str, int], expected: str) -> None:
    tag, degrees = asked
    with speaking(tag):
        assert wording.said_more(degrees) == expected
