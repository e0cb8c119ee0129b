"""What kitchend says of its own parts, and what it says again once it can be heard."""

from __future__ import annotations

from dataclasses import replace

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.dinner import begin, step
from kitchend.core.effects import Speak, WakeAt
from kitchend.core.events import Mishap, MishapNoticed, PhraseHeard, SpeechEnded, TimeReached
from kitchend.core.repeats import say_unanswered
from kitchend.core.timers import Timer, TimerId

START = Now(Instant(0.0), WallTime(1_700_000_000.0, 0))


def words(effects: tuple[object, ...]) -> list[str]:
    return [effect.text for effect in effects if isinstance(effect, Speak)]


def test_a_timer_that_rang_unheard_is_called_when_the_mouth_is_back() -> None:
    ask = PhraseHeard(text="time the eggs for nine minutes", started=START.instant, is_typed=True)
    state, effects = step(begin(), ask, START)
    (speak,) = (effect for effect in effects if isinstance(effect, Speak))
    state, _ = step(state, SpeechEnded(utterance=speak.utterance, ok=False), START)
    up = START.after(540)
    state, effects = step(state, TimeReached(), up)
    (call,) = (effect for effect in effects if isinstance(effect, Speak))
    state, _ = step(state, SpeechEnded(utterance=call.utterance, ok=False), up)
    state, effects = step(state, MishapNoticed(mishap=Mishap.SPEAKS_AGAIN), up.after(5))
    (told,) = words(effects)
    assert told.startswith("I can speak again.")
    assert "eggs" in told.lower()


def test_what_was_answered_meanwhile_is_not_said_again() -> None:
    assert say_unanswered(begin(), START) == begin()
    _, effects = step(begin(), MishapNoticed(mishap=Mishap.SPEAKS_AGAIN), START)
    assert words(effects) == ["I can speak again."]


def test_ears_that_fail_are_told_of() -> None:
    _, effects = step(begin(), MishapNoticed(mishap=Mishap.CANNOT_HEAR), START)
    assert words(effects) == ["I cannot hear you. Type what you would say."]


def test_ears_that_fail_again_before_that_was_said_are_told_of_once() -> None:
    ask = PhraseHeard(text="what's on", started=START.instant, is_typed=True)
    state, effects = step(begin(), ask, START)
    (speak,) = (effect for effect in effects if isinstance(effect, Speak))
    for _ in range(3):
        for mishap in (Mishap.CANNOT_HEAR, Mishap.HEARS_AGAIN):
            state, effects = step(state, MishapNoticed(mishap=mishap), START)
            assert words(effects) == []
    said: list[str] = []
    while state.speaking is not None:
        state, effects = step(state, SpeechEnded(utterance=state.speaking), START.after(5))
        said += words(effects)
    assert speak.utterance == 1
    assert " ".join(said).count("I cannot hear you.") == 1
    assert " ".join(said).count("I can hear you again.") == 1


def test_two_timers_that_run_out_close_together_are_both_in_time() -> None:
    eggs = Timer(id=TimerId("eggs"), name="eggs", due=Instant(60.0))
    bread = Timer(id=TimerId("bread"), name="bread", due=Instant(60.01))
    state = replace(begin(), timers=(eggs, bread))
    state, effects = step(state, TimeReached(), START.after(60))
    assert effects[-1] == WakeAt(instant=bread.due)
    _, effects = step(state, TimeReached(), START.after(60.01))
    assert effects[-1] != WakeAt(instant=bread.due)
