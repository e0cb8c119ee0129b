"""What every voice promises, asked of the one in memory, of kitchend's own and of every made-up cook."""

import threading
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.cook_voices import FESTIVAL_VOICES, FLITE_VOICES, cook_voice
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.in_memory import BeepVoice
from kitchend.speaking.piper_voice import PiperVoice
from kitchend.speaking.ports import Voice

SHORT = "Beans are up."
LONG = "The loaf goes in now, and the beans come off in a quarter of an hour."

VOICES: dict[str, Callable[[], Voice]] = {
    "in memory": BeepVoice,
    "espeak": EspeakVoice,
    "piper": PiperVoice,
    **{f"cook {name}": partial(cook_voice, name) for name in (*FLITE_VOICES, *FESTIVAL_VOICES, "piper")},
}


@pytest.fixture(scope="module", params=VOICES)
def voice(request: pytest.FixtureRequest) -> Voice:
    try:
        return VOICES[request.param]()
    except DeviceError as error:
        pytest.skip(str(error))


def test_words_become_sound_that_is_heard_and_does_not_clip(voice: Voice) -> None:
    sound = voice.render(SHORT)
    assert sound.samples.dtype == np.float32
    assert sound.rate >= 16_000
    assert 0.4 < sound.duration_s < 3
    assert 0.1 < sound.peak <= 1.0
    assert np.isfinite(sound.samples).all()


def test_more_words_take_longer(voice: Voice) -> None:
    assert voice.render(LONG).duration_s > 2 * voice.render(SHORT).duration_s


@pytest.mark.parametrize("text", ["", "   ", "\n", "..."], ids=["empty", "spaces", "newline", "dots"])
def test_text_without_words_is_an_empty_sound(voice: Voice, text: str) -> None:
    assert voice.render(text).duration_s == 0.0


@pytest.mark.parametrize(
    "text",
    [
        "Rest the loaf -- it's $HOME; \"done\" 'now' & <then> | more `ls`",
        "-o /nonexistent -t words",
        "Crème brûlée, jalapeños and smörgås",
        "one\0two",
        "(quit) [[h@'loU]]",
    ],
    ids=["shell", "options", "accents", "nul", "lisp and phonemes"],
)
def test_any_text_is_said_and_none_of_it_obeyed(voice: Voice, text: str) -> None:
    assert 0.2 < voice.render(text).duration_s < 15


def test_no_silence_is_left_at_the_ends(voice: Voice) -> None:
    sound = voice.render(SHORT)
    assert sound.trimmed(keep_s=0.0).duration_s > sound.duration_s - 0.06


def test_threads_may_share_a_voice(voice: Voice) -> None:
    wanted = {text: voice.render(text).duration_s for text in (SHORT, LONG)}
    got: list[tuple[str, float]] = []
    threads = [
        threading.Thread(target=lambda text=text: got.append((text, voice.render(text).duration_s)))
        for text in (SHORT, LONG)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(got) == 2
    # A voice may vary its pace from one time to the next, but not so far that one text sounds like the other.
    assert wanted[LONG] > 2 * wanted[SHORT]
    for text, duration_s in got:
        assert duration_s == pytest.approx(wanted[text], rel=0.4)
