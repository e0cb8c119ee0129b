"""The second ear is asked where the phone ear is not sure, and only there."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import cast

import numpy as np
import pytest

from kitchend.hearing.accept import Evidence, decide, is_sure
from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.phones_first import PhonesFirst
from kitchend.hearing.ports import (
    SAMPLE_RATE,
    IsWanted,
    Judgement,
    NoLongerWantedError,
    Samples,
    Sayable,
    Scored,
    always,
)
from tests.bench.hear.kitchen import sayable_of
from tests.hearing.conftest import Speak

SAID = "five more minutes on the bream"
WHOLLY = Judgement(ranked=(Scored(text="stop", score=-1.0),), free=Scored(text="Stop.", score=-0.9))


@dataclass
class Thorough:
    """A second ear that writes down what it is asked."""

    asked: list[tuple[str, ...]] = field(default_factory=list)
    prepared: list[Sayable] = field(default_factory=list)

    def prepare(self, sayable: Sayable) -> None:
        self.prepared.append(sayable)

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        self.asked.append(proposed)
        return WHOLLY


@dataclass(frozen=True)
class Taking:
    """A sayable outside the answer window that holds whatever is asked."""

    address: str = "hey kitchen"
    needs_address: bool = True

    def accepts(self, text: str) -> bool:
        return True


@pytest.fixture(scope="module")
def quick() -> PhoneEar:
    return PhoneEar()


def phrase(sound: Samples) -> Samples:
    """As it is cut out of a stream."""
    before, after = np.zeros(SAMPLE_RATE * 3 // 10, np.float32), np.zeros(SAMPLE_RATE // 5, np.float32)
    return np.concatenate([before, sound, after])


@pytest.mark.parametrize("voice", ["slt", "rms"])
def test_a_clear_command_needs_no_second_ear(quick: PhoneEar, speak: Speak, voice: str) -> None:
    thorough = Thorough()
    judgement = PhonesFirst(quick, thorough).judge(
        phrase(speak(SAID, voice)), sayable_of("harbour", True), (SAID,)
    )
    assert not thorough.asked
    assert judgement.is_by_phones
    evidence = Evidence(speech_s=len(speak(SAID, voice)) / SAMPLE_RATE, proposed=SAID, judgement=judgement)
    decision = decide(evidence, sayable_of("harbour", True))
    assert (decision.text, decision.accepted, decision.doubts) == (SAID, True, ())


@pytest.mark.parametrize(
    "said",
    [
        pytest.param("bream five the minutes", id="words of a command that is none"),
        pytest.param("remind me in five minutes to ring my sister", id="words that no grammar holds"),
        pytest.param("time the sausages for ten minutes", id="a name that no grammar holds"),
    ],
)
def test_what_is_unclear_is_for_the_second_ear(quick: PhoneEar, speak: Speak, said: str) -> None:
    thorough = Thorough()
    judgement = PhonesFirst(quick, thorough).judge(
        phrase(speak(said)), sayable_of("harbour", True), ("stop",)
    )
    assert (judgement, thorough.asked) == (WHOLLY, [("stop",)])


@pytest.mark.parametrize("in_window", [True, False])
def test_talk_needs_no_second_ear(quick: PhoneEar, speak: Speak, in_window: bool) -> None:
    thorough, sayable = Thorough(), sayable_of("harbour", in_window)
    said = speak("the children were playing in the garden after school")
    judgement = PhonesFirst(quick, thorough).judge(phrase(said), sayable, ())
    assert not thorough.asked
    evidence = Evidence(speech_s=len(said) / SAMPLE_RATE, proposed="", judgement=judgement)
    assert not decide(evidence, sayable).accepted


def test_numbers_that_sound_alike_are_for_the_second_ear() -> None:
    near = Judgement(
        ranked=(
            Scored(text="fifteen", score=-0.1, tokens=6, meaning=15),
            Scored(text="fifty", score=-0.15, tokens=6, meaning=50),
        ),
        free=Scored(text="", score=0.0),
        is_by_phones=True,
    )
    evidence = Evidence(speech_s=0.8, proposed="fifteen", judgement=near)
    assert not is_sure(evidence, sayable_of("harbour", True))


@pytest.mark.parametrize(
    ("text", "proposed", "is_long"),
    [
        pytest.param("five more minutes on bream", "five more minutes on bream", True, id="a command"),
        pytest.param("aye", "aye", False, id="a short word"),
        pytest.param("hey kitchen the bream", "fish is in the pan", False, id="an address phrase of its own"),
        pytest.param("hey kitchen the bream", "hey kitchen the brill", True, id="one that both ears hear"),
    ],
)
def test_what_is_too_soon_heard_in_the_window_is_for_the_second_ear(
    text: str, proposed: str, is_long: bool
) -> None:
    clear = Judgement(
        ranked=(Scored(text=text, score=-0.02, tokens=len(text.split()) * 3),),
        free=Scored(text="", score=0.0),
        is_by_phones=True,
    )
    evidence = Evidence(speech_s=len(text) / 14, proposed=proposed, judgement=clear)
    assert is_sure(evidence, sayable_of("harbour", True)) is is_long


def test_what_nearly_sounds_alike_must_be_further_ahead_to_be_sure() -> None:
    def sure_of(rival: str) -> bool:
        clear = Judgement(
            ranked=(
                Scored(text="hey kitchen rest the bream", score=-0.02, tokens=12, meaning=0),
                Scored(text=rival, score=-0.5, tokens=12, meaning=1),
            ),
            free=Scored(text="", score=0.0),
            address=0.0,
            is_by_phones=True,
        )
        evidence = Evidence(speech_s=1.8, proposed="hey kitchen rest the bream", judgement=clear)
        return is_sure(evidence, cast(Sayable, Taking()))

    assert sure_of("hey kitchen carve the bream")
    assert not sure_of("hey kitchen roast the bream")


def test_nobody_is_asked_about_what_is_not_wanted_any_more(quick: PhoneEar, speak: Speak) -> None:
    thorough, answers = Thorough(), iter([True, False])
    unclear = phrase(speak("bream five the minutes"))
    with pytest.raises(NoLongerWantedError):
        PhonesFirst(quick, thorough).judge(unclear, sayable_of("harbour", True), (), lambda: next(answers))
    assert not thorough.asked


def test_both_make_ready(quick: PhoneEar) -> None:
    thorough, sayable = Thorough(), sayable_of("harbour", True)
    PhonesFirst(quick, thorough).prepare(sayable)
    assert thorough.prepared == [sayable]
