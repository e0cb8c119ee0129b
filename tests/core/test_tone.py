"""How kitchend is told to speak: louder, softer, whispering, quiet for a while; and the hours for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import TimeOfDay
from kitchend.core.dinner import step
from kitchend.core.effects import CallKind, Speak
from kitchend.core.events import DinnerStarted, Mishap, MishapNoticed, SpeechEnded
from kitchend.core.state import Manners, Tone
from tests.core.evening import PLAN, SEVEN, Evening, timeline
from tests.core.test_calls import BASTE, FIGS, LEEKS, RICE, TURN, kitchen

NIGHT = Manners(quiet_hours=(TimeOfDay(18, 30), TimeOfDay(7)))
"""Quiet hours that begin half an hour into these evenings."""


def spoken(evening: Evening) -> list[Speak]:
    return [effect for effect in evening.effects if isinstance(effect, Speak)]


def last(evening: Evening) -> Speak:
    return spoken(evening)[-1]


# --- louder and softer ---


def test_louder_and_softer_are_steps_of_three_decibels_said_at_the_new_level() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    assert last(evening).louder_db == 0
    for words, said, level in (("louder", "Louder.", 3), ("louder", "Louder.", 6), ("softer", "Softer.", 3)):
        assert evening.hear(words) == [said]
        assert last(evening).louder_db == level
    evening.at_minute(5)
    assert last(evening) == replace(last(evening), kind=CallKind.NOW, louder_db=3)


@pytest.mark.parametrize(
    ("words", "said", "level"),
    [("louder", "That is as loud as I go.", 12), ("softer", "That is as soft as I go.", -12)],
)
def test_twelve_decibels_are_the_most(words: str, said: str, level: int) -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    for _ in range(4):
        evening.hear(words)
    before = evening.state.tone
    assert evening.hear(words) == [said]
    assert evening.state.tone is before
    assert last(evening).louder_db == level


def test_undo_takes_the_last_wish_back() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("louder")
    evening.hear("whisper")
    evening.hear("quiet for ten minutes")
    assert evening.hear("undo that") == ["Undone: quiet for ten minutes."]
    assert evening.state.tone == Tone(louder_db=3, whispers=True)
    assert evening.hear("undo that") == ["Undone: whispering."]
    assert evening.hear("undo that") == ["Undone: louder."]
    assert evening.state.tone == Tone()


def test_undoing_something_else_leaves_the_level() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("time the eggs for nine minutes")
    evening.state = replace(evening.state, tone=Tone(louder_db=6))
    evening.hear("undo that")
    assert evening.state.tone.louder_db == 6


# --- whispering ---


def test_a_whisper_holds_until_told_otherwise_but_careful_is_never_whispered() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    assert evening.hear("whisper") == ["Whispering."]
    assert last(evening).is_whisper
    evening.at_minute(5)
    assert last(evening).is_whisper
    evening.feed(MishapNoticed(mishap=Mishap.NOT_KEPT))
    assert last(evening).kind is CallKind.CAREFUL
    assert not last(evening).is_whisper
    assert evening.hear("speak up again") == ["Speaking up."]
    assert not last(evening).is_whisper


def test_in_the_quiet_hours_it_whispers_unless_told_to_speak_up_and_then_until_they_end() -> None:
    evening = kitchen({TURN.id: (25, 27), BASTE.id: (35, 38)}, TURN, BASTE, manners=NIGHT)
    evening.at_minute(25)
    assert not last(evening).is_whisper
    evening.hear("turning the parsnips")
    evening.hear("parsnips are done")
    evening.at_minute(36)
    assert last(evening).is_whisper
    evening.hear("speak up again")
    assert not last(evening).is_whisper
    evening.hear("heard")
    evening.now = evening.now.after(13 * 3600)
    evening.hear("what's on")
    assert not last(evening).is_whisper
    assert evening.state.tone.whispers is None
    evening.now = evening.now.after(12 * 3600)
    evening.hear("what's on")
    assert last(evening).is_whisper


@pytest.mark.parametrize(
    ("hours", "is_whisper"), [((18, 20), True), ((17, 18), False), ((19, 18), False), ((19, 19), False)]
)
def test_quiet_hours_may_pass_midnight(hours: tuple[int, int], is_whisper: bool) -> None:
    first, to = hours
    manners = Manners(quiet_hours=(TimeOfDay(first), TimeOfDay(to)))
    evening = kitchen({TURN.id: (5, 7)}, TURN, manners=manners)
    evening.hear("what's on")
    assert last(evening).is_whisper is is_whisper


def test_the_wish_outlives_the_dinner() -> None:
    evening = Evening()
    evening.hear("louder")
    evening.feed(DinnerStarted(plan=PLAN, serve=SEVEN, timeline=timeline()))
    assert evening.state.tone.louder_db == 3


# --- quiet for a while ---


def test_in_a_quiet_nothing_is_called_and_after_it_all_that_still_matters_in_one_breath() -> None:
    evening = kitchen(
        {LEEKS.id: (1, 7), TURN.id: (4, 6), BASTE.id: (5, 8), FIGS.id: (6, 18)}, LEEKS, TURN, BASTE, FIGS
    )
    evening.at_minute(1)
    evening.hear("leeks are on")
    assert evening.hear("quiet for seven minutes") == ["Quiet for seven minutes."]
    assert evening.at_minute(5.5) == []
    assert evening.hear("parsnips turned") == ["Parsnips turned."]
    assert evening.at_minute(7.99) == []
    [said] = evening.at_minute(8)
    assert said == (
        "Up: the leeks one minute ago. Then bake the figs, due two minutes ago, "
        "then baste the duck, due three minutes ago."
    )
    assert evening.at_minute(8.4) == []


def test_more_than_three_things_are_told_after_a_quiet() -> None:
    evening = kitchen(
        {LEEKS.id: (4, 10), TURN.id: (4, 6), BASTE.id: (5, 8), FIGS.id: (6, 18), RICE.id: (6, 16)},
        *(LEEKS, TURN, BASTE, FIGS, RICE),
        cooks=9,
    )
    evening.hear("quiet for ten minutes")
    [said] = evening.at_minute(10)
    assert said.startswith("Five things: bake the figs, due four minutes ago, then ")


def test_a_question_in_a_quiet_is_answered_and_brings_no_calls() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("quiet for ten minutes")
    evening.at_minute(6)
    assert evening.hear("when do we eat") == ["The pass is at seven o'clock."]


def test_what_was_missed_in_a_quiet_is_told_when_asked_and_comes_back_shorter() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("quiet for ten minutes")
    evening.at_minute(6)
    assert evening.hear("what did i miss") == ["Turn the parsnips."]
    assert evening.at_minute(9.9) == []
    assert evening.at_minute(10) == ["Turn the parsnips."]


def test_a_quiet_never_silences_careful() -> None:
    evening = kitchen({LEEKS.id: (1, 7), TURN.id: (9, 11)}, LEEKS, TURN)
    evening.at_minute(1)
    evening.hear("leeks are on")
    evening.hear("quiet for thirty minutes")
    said = evening.at_minute(12)
    assert said == ["Careful: the leeks, up three minutes ago.", "Careful: leeks!"]
    evening.feed(MishapNoticed(mishap=Mishap.CANNOT_HEAR))
    assert evening.said[-1] == "I cannot hear you. Type what you would say."


def test_a_repeat_waits_for_the_end_of_a_quiet_unless_it_spoils() -> None:
    evening = kitchen({LEEKS.id: (1, 7), TURN.id: (5, 7)}, LEEKS, TURN)
    evening.at_minute(1)
    evening.hear("leeks are on")
    evening.at_minute(6)
    evening.hear("quiet for five minutes")
    assert evening.at_minute(9.9) == []
    assert evening.at_minute(10.1) == ["Careful: the leeks, up three minutes ago."]
    said = evening.at_minute(11.1)
    assert said[-1] == "Parsnips."


def test_speaking_up_ends_a_quiet_at_once() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("quiet for ten minutes")
    evening.at_minute(6.5)
    said = evening.hear("you can talk again")
    assert said == ["Speaking up. Turn the parsnips, due two minutes ago. Two minutes."]


def test_a_quiet_that_ends_with_nothing_to_tell_ends_in_silence() -> None:
    evening = kitchen({TURN.id: (40, 42)}, TURN)
    evening.hear("quiet for five minutes")
    assert evening.at_minute(12) == []
    assert evening.state.tone.quiet_until is None


def test_what_is_being_said_when_a_quiet_ends_is_said_to_its_end() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.hear("quiet for six minutes")
    evening.at_minute(5.9)
    evening.state = replace(evening.state, speaking=99, spoken=99)
    assert evening.at_minute(6.1) == []
    evening.state, effects = step(evening.state, SpeechEnded(utterance=99), evening.now)
    assert any(
        isinstance(effect, Speak) and effect.text.startswith("Turn the parsnips") for effect in effects
    )


def test_news_of_kitchend_itself_waits_for_the_end_of_a_quiet_as_well() -> None:
    evening = kitchen({TURN.id: (40, 42)}, TURN)
    evening.hear("quiet for two minutes")
    evening.feed(MishapNoticed(mishap=Mishap.HEARS_AGAIN))
    assert evening.at_minute(1.9) == []
    assert evening.at_minute(2) == ["I can hear you again."]
