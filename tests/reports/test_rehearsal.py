"""What a rehearsal's score says to people and to programs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import WallTime
from kitchend.reports.rehearsal import MOST_TOLD, PhraseScore, Rehearsal

SEVEN = WallTime(1_767_380_400.0)
GOOD = Rehearsal(
    plan="Tuesday supper",
    cook="steady",
    seed=1,
    ears="both",
    serve=SEVEN,
    served=SEVEN,
    late_by_s=0,
    steps_done=6,
    steps=6,
    calls=12,
    busiest=5,
    replies=14,
    phrases=(PhraseScore(said="greens are on", text="greens are on", intent="start", right=True),),
    lost_timers=(),
    unsaid=(),
    lasted_s=5400.0,
    took_s=12.3,
)
MISSED = PhraseScore(said="heard", text="", intent=None, right=False)
MISTAKEN = PhraseScore(said="fifteen minutes", text="fifty minutes", intent="time_new", right=False)


def test_a_good_dinner_in_words() -> None:
    assert GOOD.summary().splitlines() == [
        "Tuesday supper was served on time; the pass was at 19:00.",
        "6 of 6 steps done.",
        "Kitchend called 12 times, at most 5 times in ten minutes.",
        "1 phrase, 100 % understood as meant.",
        "Lost timers: none.",
        "Done without being said: nothing.",
        "A dinner of an hour and a half, rehearsed in 12 s.",
    ]


SERVED = {
    "late": (300, "Tuesday supper was served five minutes late; the pass was at 19:00."),
    "early": (-300, "Tuesday supper was served five minutes early; the pass was at 19:00."),
    "within a minute": (59, "Tuesday supper was served on time; the pass was at 19:00."),
}


@pytest.mark.parametrize(("late_s", "line"), SERVED.values(), ids=SERVED)
def test_how_it_was_served(late_s: int, line: str) -> None:
    score = replace(GOOD, served=SEVEN + late_s, late_by_s=late_s)

    assert score.summary().splitlines()[0] == line


def test_a_dinner_never_served_says_so_in_words_and_json() -> None:
    score = replace(GOOD, served=None, late_by_s=None)

    assert score.summary().startswith("Tuesday supper was never served; the pass was at 19:00.")
    assert (score.to_json()["served"], score.to_json()["late_by_s"]) == (None, None)


def test_what_was_misheard_is_listed_and_the_rest_counted() -> None:
    score = replace(GOOD, phrases=(MISSED, MISTAKEN, *GOOD.phrases * 2))
    assert '  "heard" was not taken' in score.summary()
    assert '  "fifteen minutes" was heard as "fifty minutes"' in score.summary()
    assert "4 phrases, 50 % understood as meant." in score.summary()

    many = replace(GOOD, phrases=(MISSED,) * (MOST_TOLD + 3))
    assert many.summary().count("was not taken") == MOST_TOLD
    assert "  and 3 more" in many.summary()


FLAWS = {
    "a step left": {"steps_done": 5},
    "a timer lost": {"lost_timers": ("steam the greens",)},
    "something unsaid": {"unsaid": ("greens/steam: on to done",)},
    "never served": {"served": None},
}


@pytest.mark.parametrize("flaw", FLAWS.values(), ids=FLAWS)
def test_any_flaw_makes_a_dinner_bad(flaw: dict[str, object]) -> None:
    assert GOOD.is_good
    assert not replace(GOOD, **flaw).is_good  # type: ignore[arg-type]  # keyword facts of a Rehearsal


def test_no_phrase_at_all_is_no_phrase_wrong() -> None:
    assert replace(GOOD, phrases=()).right_share == 1.0
