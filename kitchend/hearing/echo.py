"""Takes kitchend's own voice out of what the microphone hears, by the sound it is known to play.

A partitioned-block frequency-domain Kalman filter: Enzner and Vary, "Frequency-domain adaptive Kalman
filter for acoustic echo control in hands-free telephones", Signal Processing 86 (2006); in partitions as by
Kuech, Mabande and Enzner, ICASSP 2014. It learns the way from loudspeaker to microphone, keeps it from one
utterance to the next, and learns slowly by itself while somebody else speaks. What its own doubt leaves is
held back by a Wiener filter. Blocks of 256 samples at 16 kHz; it waits for nothing and keeps no clock.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import SAMPLE_RATE, Samples

BLOCK: Final = 256
PARTS: Final = 14
"""Blocks of the way round that are learnt: 0.22 s, a kitchen's echo down by 40 dB or more."""

KEEPS: Final = 0.9995
"""How much of the way still holds a block later; a clock may drift, a door may open."""

FIRST_DOUBT: Final = 0.5
OTHERS_SMOOTHED: Final = 0.8
OTHERS_LEAST: Final = 0.1
"""The share of what is left that is taken for others' sound at least, however little is known of the way."""

LEAST_GAIN: Final = 0.05
OVER: Final = 2.0
"""How many times the doubt's own measure of what is left is held back."""

LOW_HZ: Final = 300
HIGH_HZ: Final = 4000
_TINY: Final = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleaned:
    """One block without the echo, float32[256], and the power of the echo foreseen and of what is left.

    `doubt` is how much of what is left may still be echo, by the filter's own reckoning.
    """

    samples: Samples
    echo: float
    left: float
    doubt: float


class EchoCanceller:
    """Takes blocks of microphone and of own sound, 256 samples each, at 16 kHz and in step."""

    def __init__(self) -> None:
        bins = BLOCK + 1
        self._way = np.zeros((PARTS, bins), np.complex64)
        self._doubt = np.full((PARTS, bins), FIRST_DOUBT, np.float32)
        self._others = np.full(bins, 1e-3, np.float32)
        self._kept = self._way, self._doubt
        self._begin()

    def _begin(self) -> None:
        bins = BLOCK + 1
        self._own = np.zeros((PARTS, bins), np.complex64)
        self._last_own = np.zeros(BLOCK, np.float32)
        self._last_heard = np.zeros(BLOCK, np.float32)
        self._last_left = np.zeros(BLOCK, np.float32)
        self._half = np.zeros(BLOCK, np.float32)
        self._unknown = np.zeros(BLOCK + 1, np.float32)

    def rest(self) -> None:
        """Own sound is over: what follows is another stream. The way that was learnt stays."""
        self._begin()

    def keep(self) -> None:
        """Remember the way as it is known now."""
        self._kept = self._way, self._doubt

    def go_back(self) -> None:
        """Forget what was learnt since the way was remembered."""
        self._way, self._doubt = self._kept

    @property
    def response(self) -> Samples:
        """The way as it is known, float32[PARTS * 256] at 16 kHz: what a click would come back as."""
        return np.asarray(np.fft.irfft(self._way, axis=1)[:, :BLOCK].ravel(), np.float32)

    @property
    def gain_db(self) -> float:
        """How the way changes the power of speech, 300 to 4000 Hz, in dB."""
        hertz = np.fft.rfftfreq(len(self.response), 1 / SAMPLE_RATE)
        power = np.abs(np.fft.rfft(self.response))[(hertz >= LOW_HZ) & (hertz <= HIGH_HZ)] ** 2
        return float(10 * np.log10(power.mean() + _TINY))

    def follow(self, own: Samples) -> None:
        """Take note of the next block of own sound, with nothing to be cleaned of it yet."""
        self._own = np.roll(self._own, 1, axis=0)
        self._own[0] = np.fft.rfft(np.concatenate([self._last_own, own]))
        self._last_own = own

    def clean(self, heard: Samples, own: Samples, *, learns: bool = True) -> Cleaned:
        """The next block of each; learns from it, or leaves the way as it is."""
        self.follow(own)
        echo = np.fft.irfft((self._own * self._way).sum(axis=0))[BLOCK:].astype(np.float32)
        left = heard - echo
        self._unknown = (self._strength() * self._doubt).sum(axis=0)
        if learns:
            self._learn(left)
        kept = self._held_back(left)
        doubt = float(self._unknown.sum()) / (2 * BLOCK) ** 2
        return Cleaned(samples=kept, echo=power(echo), left=power(left), doubt=doubt)

    def _learn(self, left: Samples) -> None:
        error = np.fft.rfft(np.concatenate([np.zeros(BLOCK, np.float32), left]))
        strength, unknown = self._strength(), self._unknown
        loud = (np.abs(error) ** 2).astype(np.float32)
        others = np.maximum(loud - 0.5 * unknown, OTHERS_LEAST * loud)
        self._others = OTHERS_SMOOTHED * self._others + (1 - OTHERS_SMOOTHED) * others
        share = self._doubt / (unknown + 2 * self._others + _TINY)
        step = np.fft.irfft(share * np.conj(self._own) * error, axis=1)
        step[:, BLOCK:] = 0.0
        self._way = (KEEPS * (self._way + np.fft.rfft(step, axis=1))).astype(np.complex64)
        kept = (1 - 0.5 * share * strength) * self._doubt
        self._doubt = (KEEPS**2 * kept + (1 - KEEPS**2) * np.abs(self._way) ** 2).astype(np.float32)

    def _strength(self) -> NDArray[np.float32]:
        return (np.abs(self._own) ** 2).astype(np.float32)

    def _held_back(self, left: Samples) -> Samples:
        """The block before this one, with what is probably still echo held back; half overlapped."""
        window = np.sin(np.pi * (np.arange(2 * BLOCK) + 0.5) / (2 * BLOCK)).astype(np.float32)
        both = np.fft.rfft(np.concatenate([self._last_left, left]) * window)
        power = np.abs(both) ** 2 + _TINY
        gain = np.maximum(LEAST_GAIN, 1 - OVER * 0.5 * self._unknown / power)
        whole = (np.fft.irfft(both * gain) * window).astype(np.float32)
        out = self._half + whole[:BLOCK]
        self._half, self._last_left = whole[BLOCK:], left
        return np.asarray(out, np.float32)


def power(samples: NDArray[np.float32]) -> float:
    """The mean square."""
    return float(np.mean(np.square(samples, dtype=np.float64)))
