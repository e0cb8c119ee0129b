"""Phones told in a sound and held against the grammar: what is judged by, and that talk is not let in."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from kitchend.hearing import SoundListener, build
from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.phone_net import PhoneNet
from kitchend.hearing.ports import SAMPLE_RATE, NoLongerWantedError
from kitchend.hearing.pronouncing import english
from kitchend.hearing.sounding import PHONES, freely, heard_phones, likelihoods, units_of
from kitchend.hearing.whisper_ear import WhisperEar
from kitchend.service.wall_clock import running_s
from tests.bench.hear.kitchen import sayable_of
from tests.hearing.conftest import Speak
from tests.hearing.menu import dinner

QUIET = np.zeros(SAMPLE_RATE // 2, np.float32)
SAID = "five more minutes on the bream"
TALK = (
    "the children were playing in the garden after school",
    "did you see that film about the old man and his boat",
    "my sister lives in another town and never writes",
    "and now the news at six from our own correspondent",
)


@pytest.fixture(scope="module")
def ear() -> PhoneEar:
    return PhoneEar()


@pytest.fixture(scope="module")
def listener() -> Iterator[SoundListener]:
    made = build(ears="first", seconds=running_s)
    yield made
    made.close()


@pytest.mark.parametrize("voice", ["slt", "rms", "awb"])
def test_the_phones_told_are_those_that_were_said(speak: Speak, voice: str) -> None:
    net, words = PhoneNet(), english()
    log_chances = net(speak("stop the timer for the salmon please", voice))
    said, other = (
        next(words.rows(text))
        for text in ("stop the timer for the salmon please", "sixty eight degrees on the left")
    )
    assert np.exp(log_chances).sum(axis=1) == pytest.approx(np.ones(len(log_chances)), abs=1e-4)
    fits, does_not = likelihoods(log_chances, [said, other]) - freely(log_chances)
    assert fits > -len(said)
    assert does_not < -3 * len(other)
    heard = [PHONES[unit - 1] for unit in heard_phones(log_chances)]
    assert len(set(heard) & set("S T AA P AY M ER F AO R L".split())) >= 8


def test_what_was_said_comes_first(ear: PhoneEar, speak: Speak) -> None:
    judgement = ear.judge(speak(SAID), sayable_of("harbour", True), ())
    assert judgement.ranked[0].text == SAID
    assert len(judgement.ranked) > 5
    assert all(reading.score <= 0.01 for reading in judgement.ranked)
    assert judgement.address is None


def test_the_address_phrase_fits_where_it_was_said(ear: PhoneEar, speak: Speak) -> None:
    sayable = sayable_of("harbour", False)
    addressed = ear.judge(speak(f"hey kitchen {SAID}"), sayable, ())
    other = ear.judge(speak(SAID), sayable, ())
    assert addressed.address is not None
    assert other.address is not None
    assert addressed.address > -1.0 > other.address


def test_what_the_first_ear_proposes_is_looked_at(ear: PhoneEar, speak: Speak) -> None:
    sayable = sayable_of("harbour", True)
    texts = {one.text for one in ear.judge(speak("stop that"), sayable, (SAID,)).ranked}
    assert SAID in texts
    assert SAID not in {one.text for one in ear.judge(speak("stop that"), sayable, ()).ranked}


def test_a_list_of_commands_is_enough(ear: PhoneEar, speak: Speak) -> None:
    judgement = ear.judge(speak("greens are on"), dinner(), ("greens are on",))
    assert judgement.ranked[0].text == "greens are on"


def test_words_that_no_grammar_holds_are_said_too(ear: PhoneEar, speak: Speak) -> None:
    heard = ear.heard(speak("remind me in five minutes to ring my sister"))
    texts = ("remind me in five minutes to ring my sister", "remind me in five minutes to open the wine", "")
    scores = ear.scores(heard, texts)
    assert scores[texts[0]] > scores[texts[1]]
    assert np.isfinite([score for score, _ in scores.values()]).all()


def test_the_second_ear_knows_how_far_each_command_is_from_the_phones(
    whisper: WhisperEar, speak: Speak
) -> None:
    judgement = whisper.judge(speak(SAID), sayable_of("harbour", True), ())
    phones = {one.text: one.phones for one in judgement.ranked}
    assert None not in phones.values()
    assert max(phones, key=lambda text: phones[text] or 0.0) == SAID


def test_without_espeak_words_that_the_dictionary_lacks_are_said_by_their_letters(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("PATH", "")
    words = english()
    assert words.ways("bxilk") == (units_of("B K IH L K"),)
    assert words.ways("salmon")[0] == units_of("S AE M AH N")


def test_what_nobody_waits_for_is_given_up(ear: PhoneEar, speak: Speak) -> None:
    with pytest.raises(NoLongerWantedError):
        ear.judge(speak(SAID), sayable_of("harbour", True), (), lambda: False)


@pytest.mark.parametrize("samples", [1, 160, SAMPLE_RATE // 5])
def test_a_knock_is_not_too_short(ear: PhoneEar, samples: int) -> None:
    knock = np.zeros(samples, np.float32)
    knock[::50] = 0.4
    assert all(np.isfinite(one.score) for one in ear.judge(knock, sayable_of("harbour", True), ()).ranked)


@pytest.mark.parametrize("voice", ["slt", "rms"])
def test_a_command_counts_with_the_first_ear_alone(listener: SoundListener, speak: Speak, voice: str) -> None:
    for in_window, said in ((True, SAID), (False, f"hey kitchen {SAID}")):
        listener.listen_for(sayable_of("harbour", in_window))
        heard = listener.hear(np.concatenate([QUIET, speak(said, voice), QUIET]))
        assert (heard.text, heard.accepted) == (said, True)
        assert heard.margin is not None


@pytest.mark.parametrize("text", TALK)
@pytest.mark.parametrize("in_window", [True, False])
def test_talk_counts_for_nothing_with_the_first_ear_alone(
    listener: SoundListener, speak: Speak, text: str, in_window: bool
) -> None:
    listener.listen_for(sayable_of("harbour", in_window))
    heard = listener.hear(np.concatenate([QUIET, speak(text), QUIET]))
    assert not heard.accepted
