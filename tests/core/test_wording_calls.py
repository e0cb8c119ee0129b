"""How several calls are said in one breath, and how one is said late or ahead, word for word."""

from __future__ import annotations

import pytest

from kitchend.core import wording, wording_calls
from kitchend.core.clock import Instant, TimeOfDay
from kitchend.core.plan import EquipmentId, Use
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.timers import Timer, TimerId
from tests.core.evening import a_step, minutes

GREENS = a_step("steam the greens", "greens", minutes(4), hands_s=60)
FISH = a_step("poach the trout", "trout", minutes(60), hands_s=60)
PIE = a_step(
    "bake the pie",
    "pie",
    minutes(90),
    hands_s=60,
    uses=(Use(equipment=EquipmentId("oven"), at=Temperature(degrees=200)),),
    look_for="deep gold on top",
)
HAM = a_step("smoke the ham", "ham", minutes(720), hands_s=60, until=Temperature(degrees=68))
SALT = a_step("salt the greens", "greens", DurationRange(low_s=20, high_s=20), hands_s=20)

ACTS = {
    "several minutes": (wording_calls.now_clause(GREENS), "steam the greens, four minutes"),
    "one hour": (wording_calls.now_clause(FISH), "poach the trout, an hour"),
    "an oven and an hour and a half": (
        wording_calls.now_clause(PIE),
        "bake the pie, oven at two hundred, an hour and a half",
    ),
    "an oven just hot": (
        wording_calls.now_clause(PIE, hot="oven"),
        "bake the pie, the oven is hot, an hour and a half",
    ),
    "until a reading": (
        wording_calls.now_clause(HAM),
        "smoke the ham, until sixty eight inside, twelve hours",
    ),
    "a moment's work": (wording_calls.now_clause(SALT), "salt the greens"),
    "one cook of several": (wording_calls.now_clause(GREENS, "Mira"), "Mira, steam the greens, four minutes"),
    "late": (wording_calls.now_clause(GREENS, late_s=61), "steam the greens, due one minute ago"),
}


@pytest.mark.parametrize(("said", "expected"), ACTS.values(), ids=ACTS)
def test_what_is_due_beside_others(said: str, expected: str) -> None:
    assert said == expected


TOGETHER = {
    "two up": (["the rice", "the eggs"], [], "Up: the rice and the eggs."),
    "three up": (["the rice", "the eggs", "the pie"], [], "Up: the rice, the eggs and the pie."),
    "one up, one due": (["the rice"], ["turn the bread"], "Up: the rice. Then turn the bread."),
    "two up, two due": (
        ["the rice", "the greens"],
        ["turn the bread, two minutes", "salt the greens"],
        "Up: the rice and the greens. Then turn the bread, two minutes, then salt the greens.",
    ),
    "two due": (
        [],
        ["turn the parsnips", "baste the bird"],
        "Two things: turn the parsnips, then baste the bird.",
    ),
    "four due": (
        [],
        ["salt it", "dress it", "turn it", "cut it"],
        "Four things: salt it, then dress it, then turn it, then cut it.",
    ),
    "up since": (
        [wording_calls.up_clause(GREENS, late_s=240), wording_calls.up_clause(FISH, late_s=3600)],
        [],
        "Up: the greens four minutes ago and the trout an hour ago.",
    ),
}


@pytest.mark.parametrize(("up", "acts", "expected"), TOGETHER.values(), ids=TOGETHER)
def test_several_things_are_called_at_once(up: list[str], acts: list[str], expected: str) -> None:
    assert wording_calls.things(up, acts) == expected


MISSED = {
    "nothing": ([], [], "You missed nothing."),
    "one up": (["the rice"], [], "Still up: the rice."),
    "one due": ([], ["steam the greens"], "Steam the greens."),
    "two due": (
        [],
        ["steam the greens", "cut the bread"],
        "Two things: steam the greens, then cut the bread.",
    ),
    "both": (
        ["the rice", "the eggs"],
        ["cut the bread"],
        "Still up: the rice and the eggs. Then cut the bread.",
    ),
}


@pytest.mark.parametrize(("up", "acts", "expected"), MISSED.values(), ids=MISSED)
def test_what_was_missed(up: list[str], acts: list[str], expected: str) -> None:
    assert wording_calls.missed(up, acts) == expected


SOON = {
    "two minutes": (
        wording_calls.soon_call(GREENS, "", in_s=118),
        "Get ready: steam the greens in two minutes.",
    ),
    "one minute": (
        wording_calls.soon_call(GREENS, "", in_s=60),
        "Get ready: steam the greens in one minute.",
    ),
    "for one cook": (
        wording_calls.soon_call(GREENS, "Mira", in_s=300),
        "Get ready, Mira: steam the greens in five minutes.",
    ),
    "a place to be cleared, one thing": (
        wording_calls.soon_call(PIE, "", in_s=120, out="trout"),
        "Get ready: bake the pie in two minutes, once the trout is out.",
    ),
    "a place to be cleared, a plural": (
        wording_calls.soon_call(PIE, "", in_s=120, out="greens"),
        "Get ready: bake the pie in two minutes, once the greens are out.",
    ),
    "a place to be cleared, for one cook": (
        wording_calls.soon_call(PIE, "Mira", in_s=120, out="trout"),
        "Get ready, Mira: bake the pie in two minutes, once the trout is out.",
    ),
    "two": (
        wording_calls.soon_things(
            [wording_calls.soon_clause(GREENS, "", in_s=120), wording_calls.soon_clause(PIE, "", in_s=130)]
        ),
        "Get ready: steam the greens in two minutes and bake the pie in two minutes.",
    ),
    "two for two cooks": (
        wording_calls.soon_things(
            [
                wording_calls.soon_clause(GREENS, "Mira", in_s=120),
                wording_calls.soon_clause(PIE, "Tariq", in_s=130),
            ]
        ),
        "Get ready: Mira, steam the greens in two minutes and Tariq, bake the pie in two minutes.",
    ),
}


@pytest.mark.parametrize(("said", "expected"), SOON.values(), ids=SOON)
def test_warnings(said: str, expected: str) -> None:
    assert said == expected


def test_a_late_call_says_since_when() -> None:
    assert wording.now_call(GREENS, late_s=120) == "Steam the greens, due two minutes ago. Four minutes."
    assert wording.now_call(PIE, hot="oven", late_s=120).startswith(
        "Bake the pie, due two minutes ago, oven at two hundred."
    )


def test_what_shows_that_it_is_done_names_the_thing_among_several() -> None:
    assert wording_calls.seen_of("pie", PIE) == "Pie: deep gold on top?"
    assert wording_calls.seen_of("greens", GREENS) == ""


def test_a_timer_and_a_reminder_of_the_cooks_own() -> None:
    eggs = Timer(id=TimerId("eggs"), name="eggs", due=Instant(0.0))
    bread = Timer(id=TimerId("bread"), name="bread", due=Instant(0.0), remind="turn the bread")
    assert wording_calls.timer_clause(eggs) == "the eggs"
    assert wording_calls.timer_clause(eggs, late_s=60) == "the eggs one minute ago"
    assert wording_calls.timer_clause(bread) == "turn the bread"
    assert wording_calls.timer_clause(bread, late_s=60) == ""


CLOCK = {
    (19, 30): "half past seven",
    (0, 30): "half past twelve",
    (12, 0): "twelve o'clock",
    (0, 0): "twelve o'clock",
    (13, 5): "one oh five",
    (23, 45): "eleven forty five",
}


@pytest.mark.parametrize(("clock", "expected"), CLOCK.items(), ids=map(str, CLOCK))
def test_a_time_of_day_is_said_on_a_clock_of_twelve_hours(clock: tuple[int, int], expected: str) -> None:
    assert wording.said_time(TimeOfDay(*clock)) == expected


def test_a_step_without_a_thing_is_called_by_its_name() -> None:
    assert wording_calls.up_clause(a_step("rest", "dough", minutes(9))) == "rest"


GUESSES = {
    "minutes": ((4800, 5700), "eighty to ninety five minutes"),
    "long minutes": ((2400, 6300), "forty minutes to an hour and forty five minutes"),
    "hours": ((21_600, 27_000), "six to seven and a half hours"),
    "odd hours": ((20_520, 25_920), "five and a half to seven hours"),
    "an hour or two": ((3600, 7500), "one to two hours"),
    "hours nearly known": ((7200, 8400), "two hours to two hours and twenty minutes"),
}


@pytest.mark.parametrize(("ends", "expected"), GUESSES.values(), ids=GUESSES)
def test_a_guess_says_both_ends_no_finer_than_it_is(ends: tuple[int, int], expected: str) -> None:
    low, high = ends
    assert wording.said_range(DurationRange(low_s=low, high_s=high)) == expected


LENGTHS = {
    1: "one second",
    60: "one minute",
    120: "two minutes",
    3600: "an hour",
    5400: "an hour and a half",
    7260: "two hours and one minute",
    9000: "two and a half hours",
    43_200: "twelve hours",
}


@pytest.mark.parametrize(("seconds", "expected"), LENGTHS.items(), ids=map(str, LENGTHS))
def test_a_length_of_time(seconds: int, expected: str) -> None:
    assert wording.said_duration(seconds) == expected


NAMED = {
    "an oven just hot": (
        wording.now_call(PIE, "Mira", hot="oven"),
        "Mira, the oven is hot: bake the pie now. An hour and a half.",
    ),
    "an oven just hot, beside others": (
        wording_calls.now_clause(PIE, "Mira", hot="oven"),
        "Mira, bake the pie, the oven is hot, an hour and a half",
    ),
    "due": (wording.now_call(GREENS, "Mira"), "Mira: steam the greens now. Four minutes."),
    "due long ago": (
        wording.now_call(GREENS, "Mira", late_s=120),
        "Mira: steam the greens, due two minutes ago. Four minutes.",
    ),
    "up": (wording.up_call(GREENS, "Mira"), "Up, Mira: the greens."),
    "up long ago": (wording.up_call(GREENS, "Mira", late_s=240), "Up, Mira: the greens, four minutes ago."),
    "several": (
        wording_calls.things(
            [], [wording_calls.now_clause(SALT, "Mira"), wording_calls.now_clause(FISH, "Tariq")]
        ),
        "Two things: Mira, salt the greens, then Tariq, poach the trout, an hour.",
    ),
    "together with what is up": (
        wording_calls.things(["the rice"], [wording_calls.now_clause(SALT, "Mira")]),
        "Up: the rice. Then Mira, salt the greens.",
    ),
}


@pytest.mark.parametrize(("said", "expected"), NAMED.values(), ids=NAMED)
def test_a_sentence_by_name_has_one_colon_at_most(said: str, expected: str) -> None:
    assert said == expected
    assert all(sentence.count(":") <= 1 for sentence in said.split("."))
