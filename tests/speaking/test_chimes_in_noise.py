"""The four chimes told apart over kitchen noise, and how loud each is beside the others and the words."""

from __future__ import annotations

import os
from collections import Counter
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.wav import read_wav
from kitchend.speaking.chimes import RMS, TUNES
from tests.room.kitchen_noise import made_up
from tests.speaking.chime_ear import LONGEST, LOUD, chime_sound, in_noise, told_apart

KINDS = tuple(TUNES)
RATIO_DB = 5.0
STRETCH_S = 2.0


def noises() -> list[Samples]:
    """Stretches of the recordings in KITCHEND_SOUNDS, one a file; without it, of a noise made up."""
    if folder := os.environ.get("KITCHEND_SOUNDS"):
        files = sorted(Path(folder).rglob("*.wav"))
        assert files, f"no WAV file in {folder}"
        whole = [read_wav(file) for file in files]
    else:
        whole = list(np.array_split(made_up(), 20))
    length = int(STRETCH_S * SAMPLE_RATE)
    return [np.resize(noise, length) for noise in whole if float(np.std(noise)) > 1e-4]


def test_the_four_kinds_are_told_apart_at_five_decibels_over_kitchen_noise() -> None:
    heard: Counter[tuple[str, str]] = Counter()
    stretches = noises()
    chance = np.random.default_rng(7)
    for kind, noise in product(KINDS, stretches):
        at = int(chance.integers(0, len(noise) - LONGEST))
        heard[kind, told_apart(in_noise(chime_sound(kind), noise, RATIO_DB, at), KINDS)] += 1
    for kind in KINDS:
        assert heard[kind, kind] >= 0.95 * len(stretches), heard


def test_the_ear_for_chimes_does_not_find_them_where_they_are_drowned() -> None:
    """The measure can fail: 35 dB under the noise it is little better than guessing."""
    chance = np.random.default_rng(8)
    trials = [
        (kind, told_apart(in_noise(chime_sound(kind), noise, -35.0, int(chance.integers(0, 8000))), KINDS))
        for kind, noise in product(KINDS, noises())
    ]
    assert sum(kind == heard for kind, heard in trials) < 0.6 * len(trials)


@pytest.mark.parametrize("kind", KINDS)
def test_every_chime_is_as_loud_as_the_words(kind: str) -> None:
    sound = chime_sound(kind)
    level_db = 20 * np.log10(np.sqrt(np.mean(sound[np.abs(sound) > LOUD] ** 2)) / RMS)
    assert abs(level_db) < 1.5
