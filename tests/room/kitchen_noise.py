"""What a kitchen sounds like with nobody talking in it: recordings from a folder, or a noise made up here.

The made-up one has a hood's hum, water that boils and pots that are put down; it is the same every time.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.wav import read_wav
from kitchend.speaking.sound import Sound, from_samples

MADE_UP_S = 60.0
HOOD, HISS, CLATTER = 0.03, 0.02, 0.4
"""How loud each is at its loudest, of full scale."""
POTS_A_MINUTE = 20


def kitchen_noise(folder: Path | None) -> Sound:
    """Every recording of the folder and of those in it, one after another; None: a minute made up.

    ValueError if there is no recording in it.
    """
    if folder is None:
        return from_samples(made_up(), SAMPLE_RATE)
    files = sorted(folder.rglob("*.wav"))
    if not files:
        raise ValueError(f"{folder}: there is no WAV file in it (name a folder of recorded noise)")
    return from_samples(np.concatenate([read_wav(file) for file in files]), SAMPLE_RATE)


def made_up(seed: int = 1) -> Samples:
    """A minute of it, float32[n] at 16 kHz."""
    rng = np.random.default_rng(seed)
    at = np.arange(int(MADE_UP_S * SAMPLE_RATE)) / SAMPLE_RATE
    air = rng.standard_normal(len(at))
    # The hood hums at the mains' harmonics under a rush of air; what boils comes and goes every few seconds.
    hum = np.asarray(sum(np.sin(2 * np.pi * 50 * k * at) / k for k in (1, 2, 3, 4)))
    rush = np.convolve(air, np.ones(32) / 32, mode="same")
    boiling = air * (1 + np.sin(2 * np.pi * at / 7)) / 2
    whole = HOOD * (hum / 2 + rush * 4) / 2 + HISS * boiling / 2
    for start in rng.integers(0, len(at) - SAMPLE_RATE, int(POTS_A_MINUTE * MADE_UP_S / 60)):
        whole[start : start + SAMPLE_RATE] += _pot(rng)
    return np.asarray(np.clip(whole, -1.0, 1.0), np.float32)


def _pot(rng: np.random.Generator) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """A second of something of metal put down hard: a few tones that die away."""
    at = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    tones = [np.sin(2 * np.pi * hertz * at) for hertz in rng.uniform(700, 5000, 4)]
    loud = CLATTER * rng.uniform(0.3, 1.0)
    return np.asarray(loud * sum(tones) / len(tones) * np.exp(-at * rng.uniform(8, 25)))
