"""What is likely to be said soon: sentences a voice may have ready."""

from __future__ import annotations

from kitchend.core.ahead import MOST, expected
from tests.core.evening import Evening, a_step, minutes, timeline
from tests.core.test_what_time_brings import HEAT, PIE, kitchen


def test_what_will_be_called_is_known_as_it_will_be_said() -> None:
    evening = Evening()
    known: list[str] = []
    said: list[str] = []
    for minute, words in (
        (5, "chicken is in"),
        (15, "baste the chicken"),
        (20, ""),
        (25, ""),
        (35, ""),
    ):
        evening.at_minute(minute - 0.1)
        known.extend(expected(evening.state, evening.now))
        said.extend(evening.at_minute(minute))
        if words:
            evening.hear(words)
    calls = [text for text in said if "Check " not in text]
    assert "Baste the chicken now. Two minutes." in calls
    assert [text for text in calls if text not in known] == []


def test_the_soonest_comes_first_and_what_is_far_off_is_left_out() -> None:
    evening = Evening()
    evening.hear("time the eggs for two minutes")
    evening.hear("time the figs for three hours")
    assert expected(evening.state, evening.now) == (
        "Eggs: time is up.",
        "Roast the chicken now, oven at two hundred, until seventy four inside. Twenty to thirty minutes.",
    )


def test_of_many_only_the_next_few_are_made_ready() -> None:
    evening = Evening(times=timeline({}))
    eggs = "amber blue copper golden ivory olive pearl purple scarlet silver teal violet white yellow".split()
    spans = [f"{s} seconds" for s in (62, 67, 72, 77, 82, 87)] + [f"{m} minutes" for m in range(2, 10)]
    for colour, span in reversed(list(zip(eggs, spans, strict=True))):
        evening.hear(f"time the {colour} eggs for {span}")
    assert len(evening.state.timers) > MOST
    wanted = tuple(f"{colour.capitalize()} eggs: time is up." for colour in eggs[:MOST])
    assert expected(evening.state, evening.now) == wanted


def test_timers_and_repeats_are_expected_and_what_is_held_or_silent_is_not() -> None:
    evening = Evening(times=timeline({}))
    evening.hear("time the eggs for two minutes")
    evening.hear("time the figs for three minutes")
    evening.hear("hold the figs")
    evening.at_minute(2)
    assert expected(evening.state, evening.now) == ("Still up: eggs.",)
    evening.at_minute(2.1)
    evening.hear("heard")
    assert expected(evening.state, evening.now) == ()


def test_what_ends_without_a_word_is_not_expected() -> None:
    evening = kitchen({HEAT.id: (1, 16), PIE.id: (40, 50)}, PIE, added=(HEAT,))
    evening.at_minute(1)
    evening.hear("oven is on")
    assert evening.state.timers
    assert expected(evening.state, evening.now) == ()


def test_a_warning_that_the_plan_asks_for_is_ready_before_the_call_it_is_of() -> None:
    corn = a_step("grill the corn", "corn", minutes(12), hands_s=120, ready_s=120)
    evening = kitchen({corn.id: (10, 22)}, corn)
    texts = expected(evening.state, evening.now)
    assert texts == ("Get ready: grill the corn in two minutes.", "Grill the corn now. Twelve minutes.")
    assert evening.at_minute(8) == [texts[0]]
    assert expected(evening.state, evening.now) == (texts[1],)
