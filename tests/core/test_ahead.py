"""What is likely to be said soon: sentences a voice may have ready."""

from __future__ import annotations

from kitchend.core.ahead import expected
from tests.core.evening import Evening, timeline


def test_what_will_be_called_is_known_as_it_will_be_said() -> None:
    evening = Evening()
    for minute in (0, 5, 8, 11, 15, 20, 30, 44, 50, 58):
        ready = expected(evening.state, evening.now)
        for text in evening.at_minute(minute):
            if not text.startswith(("Rest", "Check", "Tuesday")) and "Rest the chicken:" not in text:
                assert text in ready or "things" in text, (minute, text, ready)
        for name in ("chicken is in", "greens are trimmed"):
            evening.hear(name) if minute in (5, 20) else None


def test_the_soonest_comes_first_and_what_is_far_off_is_left_out() -> None:
    evening = Evening()
    evening.hear("time the eggs for two minutes")
    evening.hear("time the figs for three hours")
    assert expected(evening.state, evening.now) == (
        "Eggs: time is up.",
        "Roast the chicken now, oven at two hundred, until seventy four inside. Twenty to thirty minutes.",
    )


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
