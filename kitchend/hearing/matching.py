"""Where one sound is in another, and sound by way of a room or by another clock. Arrays in, arrays out."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import Samples

WHITE: Final = 1e-3
STANDS_OUT: Final = 6.0
"""How far the best match stands out of the others, in standard deviations, to be the echo."""


def convolved(sound: Samples, response: Samples) -> Samples:
    """The sound by way of this response, float32[n + m - 1]."""
    size = len(sound) + len(response) - 1
    fast = 1 << size.bit_length()
    whole = np.fft.irfft(np.fft.rfft(sound, fast) * np.fft.rfft(response, fast), fast)
    return whole[:size].astype(np.float32)


def by_clock(sound: Samples, drift: float) -> Samples:
    """The sound as it lasts by a clock by which it takes this share longer."""
    import soxr

    return np.asarray(soxr.resample(sound, 1.0, 1.0 + drift), np.float32)


def best_match(known: Samples, heard: Samples) -> int | None:
    """Where in `heard` the sound `known` begins, in samples; None if no place stands out."""
    at = fine_match(known, heard)
    return None if at is None else round(at)


def fine_match(known: Samples, heard: Samples) -> float | None:
    """The same between the samples.

    By the phase transform of Knapp and Carter (1976): every tone counts alike, for a chime is few tones.
    """
    places = len(heard) - len(known) + 1
    if places < 2 or not np.any(known) or not np.any(heard):
        return None
    size = 1 << (len(heard) + len(known)).bit_length()
    spectrum = np.fft.rfft(heard, size) * np.conj(np.fft.rfft(known, size))
    strength = np.abs(spectrum)
    match: NDArray[np.float64] = np.fft.irfft(spectrum / (strength + WHITE * strength.max()), size)
    best = int(np.argmax(match[:places]))
    if match[best] <= STANDS_OUT * float(np.std(match)):
        return None
    before, at, after = match[best - 1], match[best], match[best + 1]
    bend = before - 2 * at + after
    return best + float(0.5 * (before - after) / bend) if bend else float(best)
