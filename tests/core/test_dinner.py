"""A dinner from the first call to the table: what is said, in full and in order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import TimeOfDay
from kitchend.core.dinner import begin, step
from kitchend.core.due import next_wake
from kitchend.core.effects import CallKind, EndDinner, OpenPlan, Replan, Speak, StopSpeaking, WakeAt
from kitchend.core.events import (
    DinnerRefused,
    DinnerStarted,
    PhraseHeard,
    PlansKnown,
    Resumed,
    SpeechEnded,
    TimelinePlanned,
    TimeReached,
)
from kitchend.core.state import Manners
from kitchend.core.steps import StepState
from tests.core.evening import (
    BASTE,
    CARVE,
    PLAN,
    REST,
    ROAST,
    SEVEN,
    START,
    STEAM,
    TIMES_MIN,
    Evening,
    timeline,
)


@pytest.fixture
def evening() -> Evening:
    return Evening()


def test_a_whole_dinner_is_called_answered_and_served(evening: Evening) -> None:
    assert evening.said == [
        "Tuesday supper. The pass is at seven o'clock. First: roast the chicken, in five minutes."
    ]
    assert evening.at_minute(5) == [
        "Roast the chicken now, oven at two hundred, until seventy four inside. Twenty to thirty minutes."
    ]
    assert evening.hear("chicken is in") == [
        "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."
    ]
    assert evening.at_minute(15) == ["Baste the chicken now. Two minutes."]
    assert evening.hear("chicken basted") == ["Chicken basted."]
    assert evening.at_minute(20) == ["Trim the greens now. Six minutes."]
    assert evening.hear("heard") == ["Good."]
    assert evening.at_minute(25) == ["Check the chicken. What does it read?"]
    assert evening.hear("the chicken is at sixty eight") == [
        "Sixty eight: six degrees to go. Too soon to say when."
    ]
    assert evening.hear("greens trimmed") == ["Greens trimmed."]
    assert evening.at_minute(29) == []
    assert evening.hear("chicken is at seventy four") == ["Seventy four, that is it. Up: the chicken."]
    assert evening.hear("chicken done") == [
        "Chicken roasted. Wash your hands: raw poultry. Rest the chicken: ten minutes, starting now."
    ]
    assert evening.at_minute(39) == ["Up: the chicken."]
    assert evening.at_minute(45) == ["Carve the chicken now. Six minutes."]
    assert evening.hear("carve the chicken") == ["Carving the chicken."]
    assert evening.where(REST) is StepState.DONE
    assert evening.at_minute(51) == []
    assert evening.hear("chicken carved") == ["Chicken carved."]
    assert evening.at_minute(56) == ["Steam the greens now. Four minutes."]
    assert evening.hear("greens are on") == ["Greens on. Four minutes."]
    assert evening.at_minute(60) == ["Up: the greens."]
    assert evening.hear("greens") == ["Greens steamed. The pass, seven o'clock. Everything to the table."]
    assert evening.is_ended
    assert evening.state.plan is None
    assert evening.state.served_at == SEVEN


def test_the_last_step_done_early_leaves_only_the_pass_to_call(evening: Evening) -> None:
    evening.at_minute(50)
    for text in ("drop the chicken", "yes", "greens trimmed"):
        evening.hear(text)
    evening.at_minute(56)
    evening.hear("greens are on")
    assert evening.hear("greens done") == [
        "Greens steamed. That was the last step. The pass is at seven o'clock."
    ]
    assert evening.at_minute(59.9) == []
    assert evening.at_minute(60) == ["The pass, seven o'clock. Everything to the table."]
    assert evening.is_ended


def test_the_last_step_taken_back_was_not_the_last(evening: Evening) -> None:
    evening.at_minute(50)
    for text in ("drop the chicken", "yes", "greens trimmed"):
        evening.hear(text)
    evening.at_minute(56)
    evening.hear("greens are on")
    evening.hear("greens done")
    assert evening.hear("undo that") == ["Undone: greens steamed."]
    assert evening.at_minute(60) == ["Up: the greens."]
    evening.at_minute(63)
    assert evening.hear("greens done") == ["Greens steamed. Everything to the table. Three minutes late."]
    assert evening.state.served_at == SEVEN + 180


def test_what_is_taken_back_in_the_same_breath_is_not_called_the_last() -> None:
    """Nor does the pass, once it is past, wake kitchend over and over for a dinner that is not done."""
    state, _ = step(begin(), DinnerStarted(plan=PLAN, serve=SEVEN, timeline=timeline()), START)
    at = START.after(3540)
    for text in ("drop the chicken", "yes", "greens trimmed", "greens", "greens done", "undo that"):
        state, _ = step(state, PhraseHeard(text=text, started=at.instant, is_typed=True), at)
    assert not state.is_all_done
    assert not any("last step" in call.text for call in state.waiting_calls)
    woken = next_wake(state, START.after(4500))
    assert woken is None or woken >= START.after(4501).instant


def test_a_late_dinner_is_served_when_its_last_step_is_done(evening: Evening) -> None:
    evening.at_minute(50)
    evening.hear("drop the chicken")
    evening.hear("yes")
    evening.hear("greens trimmed")
    evening.at_minute(56)
    evening.hear("greens are on")
    evening.at_minute(63)
    assert evening.hear("greens done") == ["Greens steamed. Everything to the table. Three minutes late."]
    assert evening.state.served_at == SEVEN + 180


def test_own_timers_outlive_the_dinner(evening: Evening) -> None:
    evening.at_minute(1)
    evening.hear("time the eggs for ninety minutes")
    evening.hear("drop the chicken")
    evening.hear("yes")
    evening.hear("drop the greens")
    evening.hear("yes")
    evening.at_minute(61)
    assert evening.is_ended
    assert [timer.name for timer in evening.state.timers] == ["eggs"]
    assert evening.at_minute(91) == ["Eggs: time is up."]


# --- answers in the window, and address ---


def spoken_phrase(evening: Evening, text: str) -> PhraseHeard:
    return PhraseHeard(text=text, started=evening.now.instant)


def test_outside_the_answer_window_only_an_addressed_phrase_counts(evening: Evening) -> None:
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(10)
    before = evening.state
    evening.feed(spoken_phrase(evening, "how long on the chicken"))
    assert evening.state == before
    evening.feed(spoken_phrase(evening, "hey kitchen how long on the chicken"))
    assert evening.said[-1] == "Chicken: fifteen to twenty five minutes, until seventy four inside."


def test_a_phrase_begun_inside_the_window_counts_though_it_ends_outside(evening: Evening) -> None:
    evening.at_minute(5)
    began = evening.now.instant + 11.5
    evening.now = evening.now.after(14)
    evening.feed(PhraseHeard(text="chicken is in", started=began))
    assert evening.where(ROAST) is StepState.ON


def test_with_open_listening_no_address_is_ever_needed() -> None:
    evening = Evening(manners=Manners(is_open=True))
    evening.at_minute(3)
    evening.feed(spoken_phrase(evening, "when do we eat"))
    assert evening.said[-1] == "The pass is at seven o'clock."


def test_words_that_are_no_command_move_nothing_and_get_silence(evening: Evening) -> None:
    evening.at_minute(5)
    before = evening.state
    evening.feed(spoken_phrase(evening, "the neighbours bought a boat"))
    assert evening.state == before


def test_typed_words_that_are_no_command_are_answered(evening: Evening) -> None:
    assert evening.hear("the neighbours bought a boat") == [
        "Sorry, I do not know: the neighbours bought a boat."
    ]


def test_texts_that_sound_alike_are_read_back_before_anything_moves(evening: Evening) -> None:
    evening.at_minute(5)
    evening.hear("chicken is in")
    said = evening.hear("fifteen more minutes on the chicken", doubts=("fifty more minutes on the chicken",))
    assert said == ["Fifteen more minutes on the chicken?"]
    assert evening.hear("yes") == ["Chicken: thirty five to forty five minutes to go."]


def test_a_doubt_that_means_the_same_is_no_doubt(evening: Evening) -> None:
    evening.at_minute(5)
    assert evening.hear("chicken is in", doubts=("the chicken is in", "no such words at all")) == [
        "Chicken on. Twenty to thirty minutes. Wash your hands: raw poultry."
    ]


# --- plans by voice ---


def test_a_dinner_is_opened_by_voice_when_none_is_on(evening: Evening) -> None:
    fresh = Evening()
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        fresh.hear(text)
    fresh.at_minute(60)
    fresh.feed(PlansKnown(names=("Tuesday supper", "Pie night")))
    effects = fresh.feed(
        PhraseHeard(text="cook the pie night for half past nine", started=fresh.now.instant, is_typed=True)
    )
    assert OpenPlan(name="Pie night", serve=TimeOfDay(21, 30)) in effects
    assert fresh.said[-1] == "Pie night: one moment."
    fresh.feed(DinnerRefused(message="Pie night has a step without a time, line 4."))
    assert fresh.said[-1] == "Pie night has a step without a time, line 4."


def test_a_second_dinner_is_refused_while_one_is_on(evening: Evening) -> None:
    evening.feed(PlansKnown(names=("Tuesday supper",)))
    assert evening.hear("cook the Tuesday supper") == ["Tuesday supper is on already."]


def test_a_plan_that_cannot_be_ready_is_said_at_once() -> None:
    evening = Evening(times=timeline(late_s=600))
    assert evening.said == ["Tuesday supper cannot be ready by seven o'clock; I make it seven ten."]


def test_a_first_step_due_at_once_is_called_with_the_greeting() -> None:
    evening = Evening(times=timeline({**TIMES_MIN, ROAST.id: (0, 30)}))
    assert evening.said == [
        (
            "Tuesday supper. The pass is at seven o'clock. Roast the chicken now, oven at two hundred, "
            "until seventy four inside. Twenty to thirty minutes."
        )
    ]


# --- re-plans ---


def test_a_new_timeline_that_is_late_is_told_once(evening: Evening) -> None:
    evening.at_minute(5)
    evening.timeline = timeline(late_s=720)
    assert evening.hear("chicken is in")[-1] == "Dinner will be twelve minutes late: seven twelve."
    assert evening.hear("take two minutes off the chicken") == [
        "Chicken: eighteen to twenty eight minutes to go."
    ]
    evening.timeline = timeline()
    assert evening.hear("two more minutes on the chicken")[-1] == "Back on time: seven o'clock."


def test_lateness_that_creeps_is_told_again_only_when_it_is_much_more() -> None:
    evening = Evening()
    evening.at_minute(5)
    evening.hear("chicken is in")
    told = []
    for late_min in range(1, 30):
        evening.timeline = timeline(late_s=late_min * 60)
        said = evening.hear("one more minute on the chicken")
        told += [late_min for text in said if "minutes late" in text]
    assert told == [3, 13, 23]


def test_say_again_repeats_what_was_said_before_the_cook_acknowledged_it(evening: Evening) -> None:
    evening.at_minute(5)
    evening.hear("heard")
    assert evening.hear("say again")[0].startswith("Roast the chicken now")


def test_a_timeline_for_an_older_question_is_ignored(evening: Evening) -> None:
    evening.replies_to_replans = False
    evening.at_minute(5)
    evening.hear("chicken is in")
    late = TimelinePlanned(timeline=timeline(late_s=900), revision=evening.state.revision - 1)
    before = evening.state.timeline
    evening.feed(late)
    assert evening.state.timeline == before


def test_calls_wait_a_moment_for_a_plan_that_was_asked_for(evening: Evening) -> None:
    evening.replies_to_replans = False
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.replies_to_replans = True
    evening.at_minute(15)
    assert evening.where(BASTE) is StepState.CALLED


def test_what_runs_over_is_planned_again_once_a_minute_not_at_every_tick(evening: Evening) -> None:
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.at_minute(36)
    before = evening.replans
    for minute in (36.01, 36.02, 36.03):
        evening.at_minute(minute)
    assert evening.replans == before
    evening.at_minute(38)
    assert evening.replans > before


# --- repeats ---


def test_an_unanswered_call_comes_back_after_longer_and_longer_pauses_then_stops() -> None:
    evening = Evening(times=timeline({ROAST.id: (5, 35)}))
    moments = []
    for second in range(0, 40 * 60, 5):
        said = evening.at_minute(second / 60)
        moments.extend([second / 60 - 5] * sum("chicken" in text.lower() for text in said))
    assert evening.where(ROAST) is StepState.CALLED
    assert moments == pytest.approx([0, 0.5, 1.5, 3.5, 7.5])


def test_heard_stops_the_repeats_without_moving_the_step(evening: Evening) -> None:
    evening.at_minute(5)
    assert evening.hear("heard") == ["Good."]
    assert evening.where(ROAST) is StepState.CALLED
    assert [text for text in evening.at_minute(14) if "Roast" in text] == []


def test_a_call_answered_while_it_waits_to_be_said_is_not_said(evening: Evening) -> None:
    evening.at_minute(4.99)
    evening.state = replace(evening.state, speaking=99)
    evening.at_minute(5)
    assert [call.step for call in evening.state.waiting_calls] == [ROAST.id]
    evening.hear("chicken is in")
    evening.feed(SpeechEnded(utterance=99))
    assert not any("Roast the chicken now" in text for text in evening.said)


# --- one utterance at a time, wakes, restarts ---


def test_nothing_is_said_while_something_is_being_said(evening: Evening) -> None:
    evening.state = replace(evening.state, speaking=99)
    evening.at_minute(5)
    effects = evening.feed(PhraseHeard(text="when do we eat", started=evening.now.instant, is_typed=True))
    assert [effect for effect in effects if isinstance(effect, Speak)] == []
    evening.feed(SpeechEnded(utterance=98))
    assert evening.state.speaking == 99
    effects = evening.feed(SpeechEnded(utterance=99, ok=False))
    speak = next(effect for effect in effects if isinstance(effect, Speak))
    assert speak.text.startswith("The pass is at seven o'clock. Roast the chicken now")
    assert speak.kind is CallKind.NOW


def test_quiet_stops_the_speech_and_its_repeats(evening: Evening) -> None:
    evening.at_minute(5)
    evening.state = replace(evening.state, speaking=77)
    effects = evening.feed(PhraseHeard(text="quiet", started=evening.now.instant, is_typed=True))
    assert StopSpeaking(utterance=77) in effects
    evening.feed(SpeechEnded(utterance=77, ok=False))
    assert [text for text in evening.at_minute(14) if "Roast" in text] == []


def test_quiet_with_nothing_being_said_orders_nothing(evening: Evening) -> None:
    effects = evening.feed(PhraseHeard(text="quiet", started=evening.now.instant, is_typed=True))
    assert [effect for effect in effects if not isinstance(effect, WakeAt)] == []


def test_a_tick_for_no_reason_changes_nothing(evening: Evening) -> None:
    evening.at_minute(3)
    before = evening.state
    assert evening.feed(TimeReached()) == (WakeAt(instant=evening.wake),)
    assert evening.state == before


@pytest.mark.parametrize(
    ("away_s", "said"),
    [
        (20.0, "I am back."),
        (600.0, "I am back after ten minutes."),
        (None, "I am back, and cannot tell how long I was away. Check what is on. How long was it?"),
    ],
)
def test_after_a_restart_it_says_so_and_plans_again(
    evening: Evening, away_s: float | None, said: str
) -> None:
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.state = replace(evening.state, speaking=5)
    effects = evening.feed(Resumed(away_s=away_s))
    assert evening.said[-1] == said
    assert any(isinstance(effect, Replan) for effect in effects)
    assert evening.wake is not None


def test_after_a_restart_with_nothing_on_it_says_nothing() -> None:
    evening = Evening()
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        evening.hear(text)
    evening.at_minute(60)
    count = len(evening.said)
    evening.feed(Resumed(away_s=900))
    assert len(evening.said) == count


def test_timers_that_ran_out_while_it_was_away_ring_at_once(evening: Evening) -> None:
    evening.at_minute(1)
    evening.hear("time the eggs for five minutes")
    evening.now = evening.now.after(20 * 60)
    evening.feed(Resumed(away_s=1200))
    assert "Up: the eggs fifteen minutes ago." in evening.said[-1]


def test_a_new_dinner_forgets_the_last_one_but_not_the_cooks_own_timers(evening: Evening) -> None:
    evening.at_minute(5)
    evening.hear("chicken is in")
    evening.hear("time the eggs for nine minutes")
    evening.feed(DinnerStarted(plan=PLAN, serve=SEVEN, timeline=timeline()))
    assert evening.where(ROAST) is StepState.CALLED
    assert [timer.name for timer in evening.state.timers] == ["eggs"]


def test_the_dinner_ends_only_after_the_last_words_are_said(evening: Evening) -> None:
    evening.at_minute(50)
    for text in ("drop the chicken", "yes", "drop the greens", "yes"):
        evening.hear(text)
    evening.state = replace(evening.state, speaking=5)
    evening.at_minute(60)
    assert EndDinner() not in evening.effects
    evening.feed(SpeechEnded(utterance=5))
    assert isinstance([e for e in evening.effects if not isinstance(e, WakeAt)][-1], EndDinner)


def test_steps_carve_and_steam_wait_for_what_they_follow(evening: Evening) -> None:
    evening.at_minute(60)
    assert evening.where(CARVE) is StepState.WAITING
    assert evening.where(STEAM) is StepState.WAITING
