"""After a power cut on a board without a battery clock: the cook is asked, the network may tell."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.events import ClockMoved, Resumed, TimeReached
from tests.core.evening import Evening

HOUR = 3600
YEARS = 56 * 365 * 86_400.0
ASKED = "I am back, and cannot tell how long I was away. Check what is on. How long was it?"


def back(counted_s: float = 0.0, clock_s: float = 0.0) -> Evening:
    """Eggs with nine minutes to go when the power went; back with a clock that shows what it will."""
    evening = Evening()
    evening.at_minute(1)
    evening.hear("time the eggs for nine minutes")
    evening.now = evening.now.after(counted_s)
    evening.now = replace(evening.now, wall=WallTime(evening.now.wall.epoch_s + clock_s))
    clock = ClockMoved(by_s=clock_s) if clock_s else None
    evening.replies_to_replans = False
    evening.feed(Resumed(away_s=None, counted_s=counted_s, clock=clock))
    return evening


def left_s(evening: Evening, name: str = "eggs") -> float:
    timer = next(timer for timer in evening.state.timers if timer.name == name)
    return timer.remaining_s(evening.now.instant)


def set_clock(evening: Evening, by_s: float) -> str:
    before = len(evening.said)
    evening.now = replace(evening.now, wall=WallTime(evening.now.wall.epoch_s + by_s))
    evening.feed(ClockMoved(by_s=by_s))
    return " ".join(evening.said[before:])


def test_the_cook_is_asked_how_long_it_was() -> None:
    evening = back()
    assert ASKED in evening.said[-1]
    assert left_s(evening) == 540


@pytest.mark.parametrize(
    "words", ["you were away for four minutes", "it was four minutes", "off for four minutes"]
)
def test_the_answer_puts_the_timers_right(words: str) -> None:
    evening = back()
    assert evening.hear(words)[0] == "So I was away for four minutes."
    assert left_s(evening) == 300
    assert evening.hear(words)[0] == "Nothing was asked."
    assert left_s(evening) == 300


def test_what_the_clocks_counted_already_is_not_taken_off_twice() -> None:
    evening = back(counted_s=60)
    assert left_s(evening) == 480
    evening.hear("you were away for four minutes")
    assert left_s(evening) == 300


def test_a_timer_is_never_put_later() -> None:
    evening = back(counted_s=60)
    evening.hear("you were away for ten seconds")
    assert left_s(evening) == 480


def test_the_answer_can_be_taken_back() -> None:
    evening = back()
    evening.hear("you were away for four minutes")
    evening.hear("undo that")
    assert left_s(evening) == 540


def test_a_timer_that_ran_out_meanwhile_rings_once_that_is_known() -> None:
    evening = back()
    assert "Eggs: time was up eleven minutes ago." in " ".join(
        evening.hear("you were away for twenty minutes")
    )


def test_a_timer_set_since_is_left_alone() -> None:
    evening = back()
    evening.hear("time the figs for nine minutes")
    evening.hear("you were away for four minutes")
    assert left_s(evening, "figs") == 540
    assert left_s(evening) == 300


def test_a_timer_that_was_held_meanwhile_did_not_run() -> None:
    evening = Evening()
    evening.at_minute(1)
    evening.hear("time the eggs for nine minutes")
    evening.hear("time the figs for nine minutes")
    evening.hear("hold the eggs")
    evening.feed(Resumed(away_s=None))
    evening.hear("you were away for four minutes")
    assert left_s(evening) == 540
    assert left_s(evening, "figs") == 300


@pytest.mark.parametrize(
    "behind_s", [0.0, 3 * HOUR, YEARS], ids=["stood still", "three hours back", "in 1970"]
)
def test_the_network_tells_how_long_it_was(behind_s: float) -> None:
    evening = back(clock_s=-behind_s)
    serve = evening.state.serve
    told = set_clock(evening, behind_s + 4 * 60)
    assert told.startswith("So I was away for four minutes.")
    assert left_s(evening) == 300
    assert evening.state.serve is not None
    assert serve is not None
    assert evening.state.serve.time_of_day == serve.time_of_day
    assert evening.state.serve.epoch_s == 1_780_000_000.0 - 1_780_000_000 % 86_400 + 19 * HOUR
    assert evening.state.unsure is None


def test_a_clock_that_goes_back_tells_nothing() -> None:
    evening = back()
    assert "away" not in set_clock(evening, -HOUR)
    assert left_s(evening) == 540
    assert evening.state.unsure is not None


def test_with_no_timer_there_is_nothing_to_ask() -> None:
    evening = Evening()
    evening.at_minute(1)
    evening.feed(Resumed(away_s=None))
    assert "I am back, and cannot tell how long I was away. Check what is on." in evening.said[-1]
    assert "How long was it?" not in evening.said[-1]
    evening.feed(TimeReached())
    assert evening.state.unsure is None
