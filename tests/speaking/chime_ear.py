"""An ear for chimes: which of the four is in a stretch of sound, by its spectrum over time alone.

Phase, level and the moment it begins are not known to it, as they are not to a person. Sounds are float32[n]
at 16 kHz.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.speaking.chimes import chime

FRAME, HOP = 512, 128
LOW_HZ, HIGH_HZ = 250, 4000
LONGEST = SAMPLE_RATE // 2
"""Every kind is looked for in half a second, whether its chime fills it or not."""
LOUD = 0.01
"""Samples above this share of full scale are sound, below it silence; as for speech in noise."""


def chime_sound(kind: str) -> Samples:
    """The chime as a listener gets it."""
    sound = chime(kind)
    assert sound is not None
    return sound.resampled(SAMPLE_RATE).samples


def in_noise(sound: Samples, noise: Samples, ratio_db: float, at: int) -> Samples:
    """The sound from sample `at` of the noise on, at this ratio over the sound's own audible part."""
    loud = sound[np.abs(sound) > LOUD]
    gain = np.sqrt(np.mean(loud**2) / np.mean(noise**2) / 10 ** (ratio_db / 10))
    mixed = noise * np.float32(gain)
    mixed[at : at + len(sound)] += sound
    return mixed


def told_apart(sound: Samples, kinds: Iterable[str]) -> str:
    """The kind whose chime the sound is most like somewhere."""
    level = _levels(sound)
    floor = np.median(level, axis=0)
    heard = _shape(level, floor)
    quiet = np.zeros(LONGEST, np.float32)
    return max(
        kinds,
        key=lambda kind: _likeness(heard, _shape(_levels(np.r_[chime_sound(kind), quiet][:LONGEST]), floor)),
    )


def _levels(sound: Samples) -> NDArray[np.float64]:
    """float64[frames, bins]: power of each band of 31 Hz, every 8 ms."""
    frames = np.lib.stride_tricks.sliding_window_view(sound, FRAME)[::HOP]
    power = np.abs(np.fft.rfft(frames * np.hanning(FRAME), axis=1)) ** 2
    hertz = np.fft.rfftfreq(FRAME, 1 / SAMPLE_RATE)
    return np.asarray(power[:, (hertz >= LOW_HZ) & (hertz <= HIGH_HZ)] + 1e-6)


def _shape(level: NDArray[np.float64], floor: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far each band stands out of the noise at each moment, in log steps."""
    return np.asarray(np.log1p(level / (2 * floor)))


def _likeness(heard: NDArray[np.float64], known: NDArray[np.float64]) -> float:
    """The best correlation of the known shape with any part of what was heard as long."""
    parts = np.lib.stride_tricks.sliding_window_view(heard, len(known), axis=0).transpose(0, 2, 1)
    flat = parts.reshape(len(parts), -1)
    flat = flat - flat.mean(axis=1, keepdims=True)
    shape = (known - known.mean()).ravel()
    return float(np.max(flat @ shape / (np.linalg.norm(flat, axis=1) * np.linalg.norm(shape) + 1e-9)))
