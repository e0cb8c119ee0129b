"""PocketSphinx without a second ear: what it judges by, and that talk is not taken for commands."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from kitchend.hearing import SoundListener, build
from kitchend.hearing.alone import EarAlone
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE, Judgement, Samples, Sayable
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


def judged(ear: EarAlone, sound: Samples, sayable: Sayable) -> Judgement | None:
    ear.listen_for(sayable)
    whole = np.concatenate([QUIET, sound, QUIET])
    for start in range(0, len(whole), 512):
        ear.feed(whole[start : start + 512])
    return ear.finish().judgement


@pytest.fixture(scope="module")
def listener() -> Iterator[SoundListener]:
    made = build(ears="first", seconds=running_s)
    yield made
    made.close()


def test_what_was_said_sounds_likelier_than_the_commands_spelled_like_it(speak: Speak) -> None:
    judgement = judged(EarAlone(), speak(SAID), sayable_of("harbour", True))
    assert judgement is not None
    assert judgement.ranked[0].text == SAID
    assert len(judgement.ranked) > 5
    assert judgement.address is None
    assert judgement.free.text.startswith("five ")


def test_the_address_phrase_sounds_likelier_than_what_was_heard_freely_where_it_was_said(
    speak: Speak,
) -> None:
    sayable, ear = sayable_of("harbour", False), EarAlone()
    addressed = judged(ear, speak(f"hey kitchen {SAID}"), sayable)
    other = judged(ear, speak(SAID), sayable)
    assert addressed is not None
    assert other is not None
    assert addressed.address is not None
    assert other.address is not None
    assert addressed.address > 0.0 > other.address


def test_a_grammar_that_cannot_be_searched_is_not_judged(speak: Speak) -> None:
    assert judged(EarAlone(), speak("greens are on"), dinner()) is None


def test_nothing_is_judged_where_nothing_was_fed() -> None:
    ear = EarAlone()
    ear.listen_for(sayable_of("harbour", True))
    assert ear.finish().judgement is None


def aligned(sphinx: PocketSphinxEar, sound: Samples, *texts: str) -> dict[str, float]:
    sphinx.feed(sound)
    sphinx.finish()
    found = sphinx.aligned(texts, sound)
    return {text: sum(one.acoustic for one in words) for text, words in found.items()}


def test_a_text_is_aligned_with_the_sound_whatever_the_grammar(sphinx: PocketSphinxEar, speak: Speak) -> None:
    sphinx.listen_for(dinner())
    found = aligned(sphinx, speak("stir the porridge"), "stir the porridge", "drain the spinach")
    assert found["stir the porridge"] > found["drain the spinach"]
    sphinx.feed(speak("greens are on"))
    assert sphinx.finish().best == "greens are on"  # the grammar is back


def test_a_text_that_the_sound_is_too_short_for_is_left_out(sphinx: PocketSphinxEar, speak: Speak) -> None:
    sphinx.listen_for(dinner())
    long = "take thirty five minutes off the steamed greens and the courtyard chicken please"
    assert set(aligned(sphinx, speak("no"), "no", long)) == {"no"}


def test_aligning_leaves_the_mean_that_it_has_come_to(sphinx: PocketSphinxEar, speak: Speak) -> None:
    sphinx.listen_for(dinner())
    sphinx.feed(speak("greens are on"))
    sphinx.finish()
    before = sphinx.mean
    sphinx.aligned(["greens are on", "greens are in"], speak("greens are on"))
    assert sphinx.mean == pytest.approx(before, abs=0.001)


@pytest.mark.parametrize("voice", ["slt", "rms"])
def test_a_command_counts_with_the_first_ear_alone(listener: SoundListener, speak: Speak, voice: str) -> None:
    for in_window, said in ((True, SAID), (False, f"hey kitchen {SAID}")):
        listener.listen_for(sayable_of("harbour", in_window))
        heard = listener.hear(np.concatenate([QUIET, speak(said, voice), QUIET]))
        assert (heard.text, heard.accepted) == (said, True)
        assert heard.free_text is not None
        assert heard.margin is not None


@pytest.mark.parametrize("text", TALK)
@pytest.mark.parametrize("in_window", [True, False])
def test_talk_counts_for_nothing_with_the_first_ear_alone(
    listener: SoundListener, speak: Speak, text: str, in_window: bool
) -> None:
    listener.listen_for(sayable_of("harbour", in_window))
    heard = listener.hear(np.concatenate([QUIET, speak(text), QUIET]))
    assert not heard.accepted
