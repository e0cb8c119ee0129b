"""What happens to kitchend itself: it was away, the clock on the wall was set, the journal cannot be kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import moves, wording
from kitchend.core.clock import DAY_S, WallTime
from kitchend.core.dinner import step
from kitchend.core.effects import CallKind, Replan, Speak
from kitchend.core.events import (
    ClockMoved,
    DinnerStarted,
    Mishap,
    MishapNoticed,
    PhraseHeard,
    Resumed,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.steps import StepState
from tests.core.evening import PLAN, ROAST, SEVEN, STEAM, TRIM, Evening, timeline

HOUR = 3600
STAYS = "The pass stays at seven o'clock; what runs goes on as it was."
PAST = "past the pass at seven o'clock. What runs goes on as it was."


@pytest.fixture
def evening() -> Evening:
    return Evening()


def with_eggs(minutes: int = 5) -> Evening:
    evening = Evening()
    evening.at_minute(1)
    evening.hear(f"time the eggs for {minutes} minutes")
    return evening


def cut_short(evening: Evening, *, after_s: float = 0.0) -> str:
    """What is said next when the power goes while kitchend speaks and is back so much later."""
    evening.now = evening.now.after(after_s)
    evening.feed(Resumed(away_s=after_s))
    return evening.said[-1]


def begin_to_say(evening: Evening, minutes: float) -> str:
    """Let time pass; what is being said then has not ended."""
    evening.now = evening.now.after(minutes * 60)
    evening.state, effects = step(evening.state, TimeReached(), evening.now)
    return next(effect.text for effect in effects if isinstance(effect, Speak))


def test_a_timer_that_rings_in_time_does_not_say_when(evening: Evening) -> None:
    evening = with_eggs()
    assert "Eggs: time is up." in " ".join(evening.at_minute(7))


@pytest.mark.parametrize(
    ("words", "late"),
    [
        ("time the eggs for five minutes", "Up: the eggs fifteen minutes ago."),
        (
            "remind me in five minutes to turn the bread",
            "Reminder: turn the bread, due fifteen minutes ago.",
        ),
    ],
)
def test_an_own_timer_that_rings_late_says_how_late(evening: Evening, words: str, late: str) -> None:
    evening.at_minute(1)
    evening.hear(words)
    assert late in cut_short(evening, after_s=20 * 60)


def test_a_step_that_comes_up_late_says_how_late(evening: Evening) -> None:
    evening.at_minute(5)
    for words in ("trim the greens", "greens trimmed", "greens are on"):
        evening.hear(words)
    assert evening.where(STEAM) is StepState.ON
    assert "Up: the greens, seventeen minutes ago." in cut_short(evening, after_s=20 * 60)


def test_a_call_that_was_cut_off_is_made_again_as_late_as_it_is() -> None:
    evening = with_eggs()
    assert "up: the eggs" in begin_to_say(evening, 5).lower()
    assert "Up: the eggs three minutes ago." in cut_short(evening, after_s=180)
    assert cut_short(evening) == "I am back."


def test_a_call_that_is_cut_off_again_and_again_stays_one_call() -> None:
    evening = with_eggs()
    begin_to_say(evening, 5)
    for seconds in (12, 24, 36):
        evening.now = evening.now.after(12)
        evening.state, effects = step(evening.state, Resumed(away_s=12), evening.now)
        said = [effect.text for effect in effects if isinstance(effect, Speak)]
        assert said[0].lower().count("eggs") == 1
        assert f"Up: the eggs {wording.said_duration(seconds)} ago." in said[0]


def test_a_step_that_was_being_called_up_is_called_again(evening: Evening) -> None:
    evening.at_minute(5)
    for words in ("trim the greens", "greens trimmed", "greens are on"):
        evening.hear(words)
    assert "Up: the greens." in begin_to_say(evening, 3)
    assert "Up: the greens, two minutes ago." in cut_short(evening, after_s=120)


def test_a_step_that_was_being_called_is_called_again_in_full(evening: Evening) -> None:
    said = begin_to_say(evening, 5)
    assert "Roast the chicken now" in said
    assert "Roast the chicken now" in cut_short(evening, after_s=2)


def test_a_call_that_was_answered_while_it_was_made_is_not_made_again(evening: Evening) -> None:
    begin_to_say(evening, 5)
    evening.state = moves.hear(evening.state, ROAST.id)
    assert cut_short(evening, after_s=2) == "I am back."


def test_a_reply_that_was_cut_off_is_not_repeated(evening: Evening) -> None:
    asked = PhraseHeard(text="when do we eat", started=evening.now.instant, is_typed=True)
    evening.state, _ = step(evening.state, asked, evening.now)
    assert evening.state.speaking is not None
    assert cut_short(evening, after_s=2) == "I am back."


@pytest.mark.parametrize(
    ("mishap", "kind", "said"),
    [
        (
            Mishap.NOT_KEPT,
            CallKind.CAREFUL,
            "I cannot keep the journal. After a power cut I would not know what is on.",
        ),
        (Mishap.KEPT_AGAIN, CallKind.SOON, "The journal is kept again."),
        (
            Mishap.DAMAGED,
            CallKind.CAREFUL,
            "The journal was damaged; I use what I can read. Check what is on.",
        ),
    ],
    ids=lambda value: value.name if isinstance(value, Mishap | CallKind) else "",
)
def test_what_fails_in_kitchend_is_said_aloud(
    evening: Evening, mishap: Mishap, kind: CallKind, said: str
) -> None:
    effects = evening.feed(MishapNoticed(mishap=mishap))
    spoken = [(effect.text, effect.kind) for effect in effects if isinstance(effect, Speak)]
    assert spoken == [(said, kind)]


def moved(evening: Evening, by_s: float, zone_s: int = 0) -> str:
    """The wall is set; what is said of it."""
    before = len(evening.said)
    wall = WallTime(evening.now.wall.epoch_s + by_s, evening.now.wall.offset_s + zone_s)
    evening.now = replace(evening.now, wall=wall)
    evening.replies_to_replans = False
    effects = evening.feed(ClockMoved(by_s=by_s, zone_s=zone_s))
    assert any(isinstance(effect, Replan) for effect in effects) == (evening.state.plan is not None)
    return " ".join(evening.said[before:])


@pytest.mark.parametrize(
    ("by_s", "zone_s", "said", "pass_moves_s"),
    [
        (
            -3 * HOUR,
            0,
            f"The clock went three hours back. {STAYS}",
            0,
        ),
        (
            3 * HOUR,
            0,
            f"The clock went three hours forward, {PAST}",
            0,
        ),
        (
            365 * DAY_S,
            0,
            f"The clock went three hundred and sixty five days forward. {STAYS}",
            365 * DAY_S,
        ),
        (
            0,
            3600,
            f"The clock went an hour forward, {PAST}",
            -3600,
        ),
        (
            0,
            -3600,
            f"The clock went an hour back. {STAYS}",
            3600,
        ),
        (20, 0, "", 0),
    ],
    ids=[
        "three hours back",
        "three hours on",
        "a year",
        "summer time begins",
        "summer time ends",
        "a little",
    ],
)
def test_the_pass_follows_the_clock_on_the_wall(
    evening: Evening, by_s: float, zone_s: int, said: str, pass_moves_s: float
) -> None:
    evening.at_minute(3)
    assert moved(evening, by_s, zone_s) == said
    assert evening.state.serve == WallTime(SEVEN.epoch_s + pass_moves_s, zone_s)
    assert evening.state.serve.time_of_day == SEVEN.time_of_day


@pytest.mark.parametrize("by_s", [-3 * HOUR, 3 * HOUR, 365 * DAY_S])
def test_what_is_planned_stays_as_far_away_until_it_is_planned_again(evening: Evening, by_s: float) -> None:
    evening.at_minute(3)
    assert evening.state.timeline is not None
    before = [planned.start - evening.now.wall for planned in evening.state.timeline.planned]
    moved(evening, by_s)
    after = [planned.start - evening.now.wall for planned in evening.state.timeline.planned]
    assert after == pytest.approx(before)


@pytest.mark.parametrize("by_s", [-3 * HOUR, 3 * HOUR, 365 * DAY_S])
def test_a_timer_runs_on_when_the_clock_is_set(by_s: float) -> None:
    evening = with_eggs()
    due = evening.state.timers[0].due
    moved(evening, by_s)
    assert evening.state.timers[0].due == due
    evening.now = evening.now.after(5 * 60)
    evening.feed(TimeReached())
    assert "up: the eggs" in " ".join(evening.said).lower()


def test_a_pass_that_was_moved_is_taken_back_under_the_new_time(evening: Evening) -> None:
    evening.hear("trim the greens")
    evening.hear("serve fifteen minutes later")
    moved(evening, 0, 3600)
    evening.hear("undo that")
    assert evening.state.serve == WallTime(SEVEN.epoch_s - 3600, 3600)


def test_with_no_dinner_a_set_clock_is_said_only_when_a_timer_runs() -> None:
    evening = Evening()
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        evening.hear(text)
    evening.at_minute(60)
    assert evening.state.plan is None
    assert moved(evening, 3 * HOUR) == ""
    evening.hear("time the eggs for five minutes")
    assert moved(evening, -3 * HOUR) == "The clock went three hours back."


def test_a_dinner_without_a_timeline_takes_a_set_clock_too(evening: Evening) -> None:
    evening.state = replace(evening.state, timeline=None)
    moved(evening, -3 * HOUR)
    assert evening.state.timeline is None


def test_after_the_clock_was_set_the_rest_is_planned_for_the_same_time_of_day(evening: Evening) -> None:
    evening.at_minute(3)
    moved(evening, -3 * HOUR)
    evening.feed(TimelinePlanned(timeline=timeline(), revision=evening.state.revision))
    assert evening.state.timeline == timeline()
    assert evening.where(TRIM) is StepState.WAITING
    assert evening.state.plan == PLAN


def test_back_with_a_clock_that_was_set_meanwhile_it_says_both_at_once(evening: Evening) -> None:
    evening.at_minute(3)
    wall = WallTime(evening.now.wall.epoch_s - 3 * HOUR)
    evening.now = replace(evening.now, wall=wall)
    evening.feed(Resumed(away_s=600, clock=ClockMoved(by_s=-3 * HOUR)))
    assert f"I am back after ten minutes. The clock went three hours back. {STAYS}" in " ".join(evening.said)


def test_a_repeat_that_was_cut_off_stays_a_repeat() -> None:
    evening = with_eggs()
    evening.at_minute(6)
    assert begin_to_say(evening, 0.6).startswith("Still up: eggs.")
    assert "Still up: eggs." in cut_short(evening, after_s=10)


def test_a_call_that_was_still_waiting_its_turn_is_as_late_as_it_is_by_then() -> None:
    evening = with_eggs()
    asked = PhraseHeard(text="when do we eat", started=evening.now.instant, is_typed=True)
    evening.state, _ = step(evening.state, asked, evening.now)
    evening.now = evening.now.after(5 * 60)
    evening.state, _ = step(evening.state, TimeReached(), evening.now)
    assert any("Eggs: time is up." in call.text for call in evening.state.waiting_calls)
    assert "Up: the eggs three minutes ago." in cut_short(evening, after_s=180)


def test_a_timer_that_has_rung_does_not_ring_anew_when_a_dinner_begins() -> None:
    evening = with_eggs()
    evening.at_minute(8)
    before = len(evening.said)
    evening.feed(DinnerStarted(plan=PLAN, serve=SEVEN, timeline=timeline()))
    assert not any("Eggs: time" in text for text in evening.said[before:])
    assert any("Still up: eggs." in text for text in evening.at_minute(12))
