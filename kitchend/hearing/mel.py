"""Whisper's input: sound as 80 mel bands, one column every 10 ms.

Follows the published front end of Whisper (Radford et al. 2022, "Robust Speech Recognition via Large-Scale
Weak Supervision", section 2.2): 16 kHz, 25 ms Hann windows, 10 ms hop, Slaney's mel scale and area
normalisation, log10 limited to 8 below the peak. The sound is not padded to 30 s: the caller decides how much
silence follows. No model, no state, no clock.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE = 16_000
WINDOW = 400
HOP = 160
BANDS = 80

Floats = NDArray[np.float32]

_BREAK_HZ = 1000.0  # Slaney's scale: linear below, logarithmic above (Auditory Toolbox, 1998)
_HZ_PER_MEL = 200.0 / 3.0
_LOG_STEP = np.log(6.4) / 27.0


def mel_from_hz(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Frequencies in Hz on Slaney's mel scale."""
    above = _BREAK_HZ / _HZ_PER_MEL + np.log(np.maximum(hz, _BREAK_HZ) / _BREAK_HZ) / _LOG_STEP
    return np.where(hz < _BREAK_HZ, hz / _HZ_PER_MEL, above)


def hz_from_mel(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    """The inverse of `mel_from_hz`."""
    break_mel = _BREAK_HZ / _HZ_PER_MEL
    above = _BREAK_HZ * np.exp(_LOG_STEP * (np.maximum(mel, break_mel) - break_mel))
    return np.where(mel < break_mel, mel * _HZ_PER_MEL, above)


@cache
def filterbank() -> Floats:
    """The triangular filters, float32[80, 201]: band by frequency bin of 40 Hz."""
    bins = np.linspace(0.0, SAMPLE_RATE / 2, WINDOW // 2 + 1)
    top = mel_from_hz(np.array([SAMPLE_RATE / 2]))[0]
    corners = hz_from_mel(np.linspace(0.0, top, BANDS + 2))
    left, centre, right = corners[:-2, None], corners[1:-1, None], corners[2:, None]
    rising = (bins - left) / (centre - left)
    falling = (right - bins) / (right - centre)
    triangles = np.maximum(0.0, np.minimum(rising, falling))
    return (triangles * 2.0 / (right - left)).astype(np.float32)


@cache
def window() -> Floats:
    """The periodic Hann window, float32[400]."""
    return (0.5 - 0.5 * np.cos(2.0 * np.pi * np.arange(WINDOW) / WINDOW)).astype(np.float32)


def log_mel(samples: Floats) -> Floats:
    """float32[n] at 16 kHz, mono -> float32[80, n // 160]; needs more than 200 samples."""
    padded = np.pad(samples, WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP][: len(samples) // HOP]
    power = np.abs(np.fft.rfft(frames * window(), axis=1)).astype(np.float32) ** 2
    bands = np.log10(np.maximum(filterbank() @ power.T, 1e-10))
    limited = np.maximum(bands, bands.max() - 8.0)
    return np.ascontiguousarray((limited + 4.0) / 4.0, dtype=np.float32)
