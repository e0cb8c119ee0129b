"""The cook's words as sound through the real listener, said by another voice than kitchend's.

Makes the sound, hands it over, and says what arrived. What is accepted is the listener's own affair. The
grammar is replaced only when something is about to be heard, because making it anew is most of the work.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from random import Random
from typing import Final, Protocol

from pydantic import TypeAdapter

from kitchend.core.phrases import Sayable
from kitchend.core.tongue import language_of
from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.rehearsal.cook_voices import available, cook_voice, foreign_voice
from kitchend.rehearsal.ears import Arrived
from kitchend.service.ears import listener_of
from kitchend.service.ports import Complain
from kitchend.service.settings import Settings
from kitchend.speaking.ports import Voice
from kitchend.speaking.sound import Sound, joined, silence

VOICES: Final = ("slt", "rms", "awb")
"""The cooks who take turns, by seed; all of them speak flite's English."""

AROUND_S: Final = 0.3
"""Silence left around a phrase, as the speech detector leaves it."""


class PhraseListener(Protocol):
    """The part of the listener that is needed here: one whole phrase at a time."""

    def listen_for(self, sayable: Sayable) -> None:
        """From now on expect these phrases."""
        ...

    def hear(self, samples: Samples) -> Heard:
        """What is made of one phrase of sound."""
        ...


class SoundEars:
    """Words go through the air, so to speak."""

    def __init__(self, listener: PhraseListener, voice: Voice) -> None:
        self._listener = listener
        self._voice = voice
        self._wanted: Sayable | None = None

    def listen_for(self, sayable: Sayable) -> None:
        """Remembered until something is said."""
        self._wanted = sayable

    def deaf(self, is_deaf: bool) -> None:
        """The stage lets nobody speak while kitchend does."""

    def hear(self, words: str) -> Arrived:
        """What the listener makes of these words. DeviceError when the voice is missing."""
        if self._wanted is not None:
            self._listener.listen_for(self._wanted)
            self._wanted = None
        sound = self._voice.render(words)
        heard = self._listener.hear(as_phrase(sound))
        text = heard.text if heard.accepted else ""
        return Arrived(
            text=text, said_s=sound.duration_s, doubts=heard.doubts, reason=heard.reason, sound=sound
        )


@contextmanager
def sound_ears(name: str, seed: int, complain: Complain, language: str = "en") -> Iterator[SoundEars]:
    """Ears by name (auto, both, first, second) and the cook's voice for this seed, until left.

    DeviceError when the voice, or an ear asked for by name, is missing.
    """
    settings = TypeAdapter(Settings).validate_python({"ears": name, "language": language})
    voice = voice_for(seed, language)
    listener = listener_of(settings, complain)
    try:
        yield SoundEars(listener, voice)
    finally:
        listener.close()


def as_phrase(sound: Sound) -> Samples:
    """float32[n] at 16 kHz with a little silence around it."""
    quiet = silence(AROUND_S, SAMPLE_RATE)
    return joined(quiet, sound.resampled(SAMPLE_RATE), quiet).samples


def voice_for(seed: int, language: str = "en") -> Voice:
    """The cook's voice for this seed. DeviceError when none of them is installed."""
    if language != "en":
        return foreign_voice(language_of(language).espeak, seed)
    there = [name for name in VOICES if name in available()]
    if not there:
        raise DeviceError(
            "cook's voice", "flite is not installed", "install it with: sudo apt-get install flite"
        )
    return cook_voice(Random(f"voice {seed}").choice(there), seed)
