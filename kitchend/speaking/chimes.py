"""The short sounds before a call: one for each kind of call, told apart by tune, not by loudness alone.

Decides what each kind sounds like and nothing about when. Every note follows IEC 60601-1-8 for alarm pulses:
fundamental 150 to 1000 Hz, at least four further harmonics within 300 to 4000 Hz and within 15 dB of it. A
chime lasts 0.25 to 0.5 s and begins and ends without a click.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kitchend.speaking.sound import Sound, from_samples

RATE: Final = 48_000
FADE_IN_S: Final = 0.008
FADE_OUT_S: Final = 0.03
RMS: Final = 0.16  # as loud as the words that follow
# Each harmonic against the fundamental: a bell's bite, 9 dB down at the fifth, well inside 15.
HARMONICS: Final = (1.0, 0.8, 0.65, 0.5, 0.35)


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One pulse: `pitch_hz` is its fundamental, `lasts_s` its length, `rest_s` the silence after it."""

    pitch_hz: float
    lasts_s: float
    rest_s: float = 0.0


TUNES: Final[Mapping[str, tuple[Note, ...]]] = MappingProxyType(
    {
        # rising: do something
        "now": (Note(pitch_hz=523.25, lasts_s=0.14, rest_s=0.02), Note(pitch_hz=783.99, lasts_s=0.24)),
        # three alike: time is up
        "up": (
            Note(pitch_hz=659.26, lasts_s=0.12, rest_s=0.04),
            Note(pitch_hz=659.26, lasts_s=0.12, rest_s=0.04),
            Note(pitch_hz=659.26, lasts_s=0.16),
        ),
        # one low note: get ready
        "soon": (Note(pitch_hz=392.0, lasts_s=0.3),),
        # falling: mind this
        "careful": (Note(pitch_hz=466.16, lasts_s=0.2, rest_s=0.03), Note(pitch_hz=311.13, lasts_s=0.26)),
    }
)


@cache
def chime(kind: str) -> Sound | None:
    """The chime for a kind of call, at 48 kHz; None for a kind that has none."""
    tune = TUNES.get(kind)
    if tune is None:
        return None
    return from_samples(np.concatenate([_pulse(note) for note in tune]), RATE).levelled(RMS)


def _pulse(note: Note) -> NDArray[np.float64]:
    t = np.arange(round(note.lasts_s * RATE)) / RATE
    turns = 2 * np.pi * note.pitch_hz * t
    wave = sum(level * np.sin(n * turns) for n, level in enumerate(HARMONICS, start=1))
    rest = np.zeros(round(note.rest_s * RATE))
    return np.concatenate([wave * np.exp(-4.0 * t) * _fades(len(t)), rest])


def _fades(length: int) -> NDArray[np.float64]:
    """float64[length]: raised cosine up and down, 1.0 between."""
    envelope = np.ones(length)
    rise, fall = round(FADE_IN_S * RATE), round(FADE_OUT_S * RATE)
    envelope[:rise] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(rise) / rise)
    envelope[length - fall :] *= 0.5 + 0.5 * np.cos(np.pi * np.arange(1, fall + 1) / fall)
    return envelope
