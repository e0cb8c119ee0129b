"""The cook speaks while kitchend does: it falls silent, does what was said, repeats what still matters."""

from __future__ import annotations

import pytest

from kitchend.core.dinner import step
from kitchend.core.effects import CallKind, Effect, Speak, StopSpeaking
from kitchend.core.events import Mishap, MishapNoticed, PhraseHeard, SpeechEnded, TimeReached
from kitchend.core.state import DinnerState
from kitchend.core.steps import StepState
from tests.core.evening import START, TRIM, Evening


def talking() -> tuple[DinnerState, Speak]:
    """Kitchend in the middle of calling a step, long after any answer window."""
    evening = Evening()
    evening.at_minute(19.5)
    state, effects = step(evening.state, TimeReached(), START.after(20 * 60))
    (speak,) = (effect for effect in effects if isinstance(effect, Speak))
    assert speak.text == "Trim the greens now. Six minutes."
    return state, speak


def said_over(
    state: DinnerState, words: str, *, is_typed: bool = False, doubts: tuple[str, ...] = ()
) -> tuple[DinnerState, tuple[Effect, ...]]:
    now = START.after(20 * 60 + 1)
    return step(state, PhraseHeard(text=words, started=now.instant, is_typed=is_typed, doubts=doubts), now)


def after(state: DinnerState, speak: Speak) -> tuple[DinnerState, list[str]]:
    """The state and what is said once the utterance is over."""
    state, effects = step(state, SpeechEnded(utterance=speak.utterance), START.after(20 * 60 + 2))
    return state, [effect.text for effect in effects if isinstance(effect, Speak)]


@pytest.mark.parametrize(
    ("words", "state_after", "said"),
    [
        ("heard", StepState.CALLED, ["Good."]),
        ("trim the greens", StepState.ON, ["Trimming the greens."]),
        ("quiet", StepState.CALLED, []),
    ],
)
def test_what_is_said_over_a_call_stops_it_and_is_done(
    words: str, state_after: StepState, said: list[str]
) -> None:
    state, speak = talking()
    state, effects = said_over(state, words)
    assert effects[0] == StopSpeaking(utterance=speak.utterance)
    assert state.state_of(TRIM.id) is state_after
    assert after(state, speak)[1] == said


def test_a_call_that_a_question_cut_short_is_said_again_with_the_answer() -> None:
    state, speak = talking()
    state, effects = said_over(state, "when do we eat")
    assert StopSpeaking(utterance=speak.utterance) in effects
    (text,) = after(state, speak)[1]
    assert text == "The pass is at seven o'clock. Trim the greens now. Six minutes."


def test_a_reply_that_was_cut_short_is_not_said_again() -> None:
    state, speak = talking()
    state, _ = step(state, SpeechEnded(utterance=speak.utterance), START.after(20 * 60 + 2))
    state, effects = said_over(state, "when do we eat")
    (reply,) = (effect for effect in effects if isinstance(effect, Speak))
    state, effects = said_over(state, "heard")
    assert effects[0] == StopSpeaking(utterance=reply.utterance)
    assert after(state, reply)[1] == ["Good."]


def test_news_that_was_cut_short_is_said_once_more_and_no_more() -> None:
    state, speak = talking()
    state, _ = step(state, MishapNoticed(mishap=Mishap.CANNOT_HEAR), START.after(20 * 60 + 1))
    state, effects = step(state, SpeechEnded(utterance=speak.utterance), START.after(20 * 60 + 2))
    said: list[str] = []
    for _time in range(4):
        (speak,) = (effect for effect in effects if isinstance(effect, Speak))
        said.append(speak.text)
        state, _ = said_over(state, "when do we eat")
        state, effects = step(state, SpeechEnded(utterance=speak.utterance), START.after(20 * 60 + 2))
    assert ["I cannot hear you." in text for text in said] == [True, True, False, False]
    assert said[-1] == "The pass is at seven o'clock."


def test_what_means_nothing_stops_nothing() -> None:
    state, _ = talking()
    after_talk, effects = said_over(state, "the cat is on the roof again")
    assert after_talk == state
    assert not [effect for effect in effects if isinstance(effect, StopSpeaking)]


def test_typed_words_stop_nothing() -> None:
    state, _ = talking()
    _, effects = said_over(state, "heard", is_typed=True)
    assert not [effect for effect in effects if isinstance(effect, StopSpeaking)]


def test_what_is_broken_off_already_is_not_stopped_twice() -> None:
    state, _ = talking()
    state, _ = said_over(state, "when do we eat")
    _, effects = said_over(state, "what's on")
    assert not [effect for effect in effects if isinstance(effect, StopSpeaking)]


def test_half_a_quiet_stops_a_call_which_comes_back_as_it_would_have() -> None:
    state, speak = talking()
    state, effects = said_over(state, "quiet", doubts=("heard", "done"))
    assert effects[0] == StopSpeaking(utterance=speak.utterance)
    assert state.asked is None
    state, said = after(state, speak)
    assert said == []
    state, effects = step(state, TimeReached(), START.after(20 * 60 + 32.5))
    assert [effect.text for effect in effects if isinstance(effect, Speak)] == ["Trim the greens."]


def test_half_a_quiet_is_asked_after_where_nothing_is_said_or_news_would_be_lost() -> None:
    state, speak = talking()
    state, _ = after(state, speak)
    state, effects = said_over(state, "quiet", doubts=("heard",))
    assert [effect.text for effect in effects if isinstance(effect, Speak)] == ["Quiet?"]
    evening = Evening()
    evening.at_minute(19.5)
    state, effects = step(evening.state, MishapNoticed(mishap=Mishap.NOT_KEPT), START.after(20 * 60 - 10))
    assert [effect.kind for effect in effects if isinstance(effect, Speak)] == [CallKind.CAREFUL]
    _, effects = said_over(state, "quiet", doubts=("heard",))
    assert not [effect for effect in effects if isinstance(effect, StopSpeaking)]
