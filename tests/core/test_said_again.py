""" "say again": as true as it is now, however long ago it was said."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.events import Mishap, MishapNoticed
from tests.core.evening import ROAST, Evening
from tests.core.test_soon import WARNING, corn


def test_nothing_was_said_yet() -> None:
    evening = Evening()
    evening.state = replace(evening.state, last_words="", last_calls=())
    assert evening.hear("say again") == ["I have said nothing yet."]


def test_a_warning_counts_from_now() -> None:
    evening = corn()
    assert evening.at_minute(8) == [WARNING]
    assert evening.at_minute(9) == []
    assert evening.hear("say again") == ["Get ready: grill the corn in one minute."]
    evening.at_minute(9.5)
    assert evening.hear("say again") == ["Get ready: grill the corn in thirty seconds."]


def test_a_warning_that_is_over_says_how_long_ago_it_was() -> None:
    evening = corn()
    evening.at_minute(8)
    evening.at_minute(9.9)
    assert evening.hear("say again") == [f"Two minutes ago: {WARNING}"]


def test_an_answer_is_given_anew() -> None:
    evening = Evening()
    evening.hear("time the eggs for nine minutes")
    evening.at_minute(1)
    assert evening.hear("how long on the eggs") == ["Eggs: eight minutes."]
    evening.at_minute(3)
    assert evening.hear("say again") == ["Eggs: six minutes."]
    evening.at_minute(4)
    assert evening.hear("say again") == ["Eggs: five minutes."]


def test_a_call_says_how_late_it_is_by_now() -> None:
    evening = Evening()
    evening.at_minute(5)
    assert evening.hear("say again") == [
        "Roast the chicken now, oven at two hundred, until seventy four inside. Twenty to thirty minutes."
    ]
    evening.state = replace(evening.state, open_calls=())
    evening.at_minute(7)
    assert evening.hear("say again") == [
        (
            "Roast the chicken, due two minutes ago, oven at two hundred, until seventy four inside. "
            "Twenty to thirty minutes."
        )
    ]


def test_what_was_answered_since_says_how_long_ago_it_was_said() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(7)
    assert evening.hear("say again") == [
        "Two minutes ago: Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."
    ]
    assert evening.where(ROAST).value == "on"


def test_what_was_just_said_is_said_as_it_was() -> None:
    evening = Evening()
    evening.at_minute(1)
    evening.feed(MishapNoticed(mishap=Mishap.HEARS_AGAIN))
    assert evening.hear("say again") == ["I can hear you again."]


def test_a_question_that_was_said_twice_can_be_said_again_and_answered() -> None:
    evening = Evening()
    evening.hear("drop the greens")
    evening.hear("when do we eat")
    assert evening.hear("say again") == ["The pass is at seven o'clock. Drop the greens?"]
    assert evening.hear("yes") == ["Greens dropped."]
