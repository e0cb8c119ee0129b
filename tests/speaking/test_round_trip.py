"""A few of kitchend's sentences, understood by a large-vocabulary recogniser; all of them: SPEAKING.md."""

from __future__ import annotations

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import WhisperEar
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.piper_voice import PiperVoice
from kitchend.speaking.ports import Voice
from tests.bench.speak.round_trip import tallied, word_errors

SENTENCES = (
    "The pass is at half past six. First: heat the oven to one hundred and eighty, in ten minutes.",
    "Season the turkey now. Eight minutes.",
    "Waiting for you: roast the turkey. Next: brush the turkey, at five o'clock.",
    "Turkey seasoned. Wash your hands: raw poultry.",
)
MOST_WRONG = {EspeakVoice: 0.45, PiperVoice: 0.25}
"""Word error rates of SPEAKING.md with room for a few words more: of these sentences there are some forty."""


@pytest.fixture(scope="module")
def ear() -> WhisperEar:
    return WhisperEar(whisper_folder())


@pytest.mark.parametrize("make", MOST_WRONG, ids=["espeak", "natural"])
def test_most_words_are_understood(make: type[EspeakVoice | PiperVoice], ear: WhisperEar) -> None:
    try:
        voice: Voice = make()
        tally = tallied(voice, SENTENCES, ear, (), 0.0)
    except DeviceError as error:
        pytest.skip(str(error))
    assert tally.sentences == len(SENTENCES)
    assert tally.words > 35
    assert tally.rate <= MOST_WRONG[make]


def test_words_in_another_tongue_are_not_understood(ear: WhisperEar) -> None:
    """The measure can fail."""
    try:
        tally = tallied(EspeakVoice("hu"), SENTENCES, ear, (), 0.0)
    except DeviceError as error:
        pytest.skip(str(error))
    assert tally.rate > 0.6


@pytest.mark.parametrize(
    ("said", "heard", "errors"),
    [
        pytest.param("Turn the oven to two hundred.", "turn the oven to 200", 0, id="figures are words"),
        pytest.param("Half past six.", "Half past six", 0, id="capitals and stops"),
        pytest.param("Stir the cabbage now.", "Stir the garbage now.", 1, id="one word wrong"),
        pytest.param("Stir the cabbage now.", "Stir cabbage right now.", 2, id="one lost, one added"),
        pytest.param("Good.", "", 1, id="nothing heard"),
    ],
)
def test_word_errors_are_counted(said: str, heard: str, errors: int) -> None:
    words, wrong = word_errors(said, heard)
    assert words == len(said.split())
    assert wrong == errors
