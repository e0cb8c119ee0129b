"""The cook over kitchend's own voice in a simulated room, and kitchend alone, by the listener a dinner uses.

A few of each; many, with other rooms and clocks: `tests.bench.speak.barge_in`.
"""

from __future__ import annotations

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.ports import Heard
from kitchend.hearing.shortlist import same_words
from kitchend.speaking.espeak_voice import EspeakVoice
from tests.bench.speak.barge_in import WARM, Said, Scene, heard_in_scene, utterances

pytestmark = [pytest.mark.slow, pytest.mark.timeout(400)]
PHRASES = ("quiet", "how long on the dumplings", "heard that", "five more minutes")


@pytest.fixture(scope="module")
def voice() -> EspeakVoice:
    made = EspeakVoice()
    try:
        made.render("ready")
    except DeviceError as error:
        pytest.skip(str(error))
    return made


def rights(said: list[Said], found: list[list[Heard]]) -> int:
    """How many of the cook's phrases were understood."""
    return sum(
        any(heard.accepted and same_words(heard.text, one.phrase) for heard in got)
        for one, got in zip(said[WARM:], found[WARM:], strict=True)
    )


def test_most_of_what_the_cook_says_over_it_is_understood(voice: EspeakVoice) -> None:
    said = list(utterances(len(PHRASES), PHRASES, voice))
    assert len(said) == WARM + len(PHRASES)
    found = heard_in_scene(said, Scene(room="square"))
    assert rights(said, found) >= len(PHRASES) - 1, [[heard.text for heard in got] for got in found]
    assert not [heard for got in found[:WARM] for heard in got if heard.accepted], "it heard itself"


def test_without_the_canceller_it_is_not_understood(voice: EspeakVoice) -> None:
    """The measure can fail, and the canceller is what makes the difference; one may be heard by luck."""
    said = list(utterances(len(PHRASES), PHRASES, voice))
    found = heard_in_scene(said, Scene(room="square", cancels=False))
    assert rights(said, found) <= 1, [[heard.text for heard in got] for got in found]
