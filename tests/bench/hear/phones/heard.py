"""Lessons as they reach a microphone in some kitchen, 500 a second: mel bands and the phones that were said.

Noise is drawn beforehand, and a microphone that is not even is one of its bands: `adapt/lessons.py` does
both anew for each lesson, which takes ten times as long.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import scipy.fft
import scipy.signal
from numpy.typing import NDArray

from kitchend.hearing import mel
from kitchend.hearing.phone_net import STEP
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.pronouncing import Pronouncing
from kitchend.hearing.search import Units
from tests.bench.hear.adapt.lessons import Heard, Lesson
from tests.bench.hear.noise import LOUD, Clip

LENGTHS: dict[int, int] = {200: 48, 300: 32, 400: 24, 520: 16}
"""How many lessons a batch has that is so many frames of 10 ms long."""
MOST_PHONES = 64
NOISES, NOISE_S = 10_000, 6
THROATS = (0.88, 1.14)
WET, NOISY, UNEVEN, TELEPHONE, HIDDEN = 0.7, 0.85, 0.6, 0.35, 0.7
OTHERWISE = 0.6
"""Share of lessons said slower or quicker by the same throat, with another mouth."""
PACES, MOUTHS = (0.8, 1.25), (0.92, 1.08)
RATIO_DB = (-2.0, 20.0)
UNEVEN_BY = 0.35
_ROOM = 1.2
"""How many frames of 30 ms a phone must have at least."""


@dataclass(frozen=True, slots=True)
class Batch:
    """Mel bands float32[n, frames, 80]; 1.0 where a frame of 30 ms is filling, float32[n, frames // 3];
    phones int[n, 64] and 1.0 where there is none.
    """

    bands: NDArray[np.float32]
    is_filling: NDArray[np.float32]
    phones: NDArray[np.int32]
    is_none: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Said:
    """Somebody saying these phones close by."""

    speech: Samples
    phones: Units


def said(lessons: Sequence[Lesson], pronouncing: Pronouncing) -> list[Said]:
    """Each lesson's first way to be said; those with figures in them are left out."""
    words = [re.sub(r"[^a-z' ]", " ", lesson.text.lower()).split() for lesson in lessons]
    pronouncing.learn(word for row in words for word in row)
    return [
        Said(lesson.speech, sum((pronouncing.ways(word)[0] for word in row), ()))
        for lesson, row in zip(lessons, words, strict=True)
        if not re.search(r"\d", lesson.text)
    ]


class Kitchens:
    """Rooms, noises and microphones, drawn anew for each lesson."""

    def __init__(
        self, lessons: Sequence[Lesson], clips: Sequence[Clip], seed: int, noises: int = NOISES
    ) -> None:
        self._chance = np.random.default_rng(seed)
        others = Heard(lessons, clips, seed)
        self._noises = [others.noise(NOISE_S * SAMPLE_RATE) for _ in range(noises)]
        self._rooms = [np.asarray(room, np.float32) for room in others.rooms]

    def batches(self, learned: Sequence[Said]) -> Iterator[Batch]:
        """Without end."""
        waiting: dict[int, list[tuple[NDArray[np.float32], Units]]] = {length: [] for length in LENGTHS}
        while True:
            one = learned[int(self._chance.integers(len(learned)))]
            bands = self.heard(one.speech)
            if bands is None or len(one.phones) * _ROOM > len(bands) / STEP:
                continue
            length = next((length for length in LENGTHS if len(bands) <= length), None)
            if length is None:
                continue
            waiting[length].append((self._partly_hidden(bands), one.phones[:MOST_PHONES]))
            if len(waiting[length]) == LENGTHS[length]:
                yield _filled(waiting[length], length)
                waiting[length] = []

    def heard(self, speech: Samples) -> NDArray[np.float32] | None:
        """float32[frames, 80]: mel bands over their mean; None where nothing can be heard."""
        chance = self._chance
        factor = chance.uniform(*THROATS)
        places = np.arange(int(len(speech) / factor)) * factor
        voice = np.interp(places, np.arange(len(speech)), speech).astype(np.float32)
        if chance.random() < WET:
            voice = self._in_a_room(voice)
        before, after = chance.uniform(0.1, 0.4), chance.uniform(0.15, 0.5)
        sound = np.pad(voice, (int(before * SAMPLE_RATE), int(after * SAMPLE_RATE)))
        loud = voice[np.abs(voice) > LOUD]
        if not len(loud) or len(sound) > NOISE_S * SAMPLE_RATE:
            return None
        if chance.random() < NOISY:
            noise = self._noises[int(chance.integers(len(self._noises)))]
            noise = np.roll(noise, -int(chance.integers(len(noise))))[: len(sound)]
            ratio = 10 ** (chance.uniform(*RATIO_DB) / 10)
            sound = sound + noise * np.sqrt(np.mean(loud**2) / max(float(np.mean(noise**2)), 1e-12) / ratio)
        sound = sound * 10 ** chance.uniform(-0.7, 0.3)
        sound = (sound * min(1.0, 0.95 / float(np.abs(sound).max()))).astype(np.float32)
        bands = _powers_of_ten(sound)
        if chance.random() < OTHERWISE:
            bands = _warped(bands, chance.uniform(*PACES), chance.uniform(*MOUTHS))
        if chance.random() < UNEVEN:
            gains = chance.normal(0, UNEVEN_BY, 8)
            bands = bands + np.interp(np.linspace(0, 7, mel.BANDS), np.arange(8), gains).astype(np.float32)
            if chance.random() < TELEPHONE:
                bands[:, int(chance.uniform(0.7, 0.8) * mel.BANDS) :] -= chance.uniform(3.0, 8.0)
        bands = np.maximum(bands, bands.max() - 8.0)
        over_mean: NDArray[np.float32] = (bands - bands.mean(axis=0)).astype(np.float32)
        return over_mean

    def _in_a_room(self, voice: Samples) -> Samples:
        room = self._rooms[int(self._chance.integers(len(self._rooms)))]
        wet = scipy.signal.fftconvolve(voice, room)[int(np.abs(room).argmax()) :][
            : len(voice) + SAMPLE_RATE // 5
        ]
        louder = np.sqrt(np.mean(voice**2) / max(float(np.mean(wet**2)), 1e-12))
        found: Samples = (wet * louder).astype(np.float32)
        return found

    def _partly_hidden(self, bands: NDArray[np.float32]) -> NDArray[np.float32]:
        """Some bands and some frames say nothing (D. Park et al., "SpecAugment", Interspeech 2019)."""
        chance = self._chance
        if chance.random() < HIDDEN:
            for most, count, across in (
                (16, mel.BANDS, True),
                (16, mel.BANDS, True),
                (12, len(bands), False),
            ):
                width = int(chance.integers(0, most))
                start = int(chance.integers(0, count - width))
                (bands.T if across else bands)[start : start + width] = 0.0
        return bands


def _warped(bands: NDArray[np.float32], pace: float, mouth: float) -> NDArray[np.float32]:
    """Quicker by a factor, and what was in one band in another further up, by a factor; the pitch stays."""
    at, share = _between(int(len(bands) / pace), pace, len(bands))
    slower = bands[at] * (1 - share)[:, None] + bands[at + 1] * share[:, None]
    at, share = _between(mel.BANDS, 1 / mouth, mel.BANDS)
    found: NDArray[np.float32] = (slower[:, at] * (1 - share) + slower[:, at + 1] * share).astype(np.float32)
    return found


def _between(count: int, factor: float, most: int) -> tuple[NDArray[np.intp], NDArray[np.float32]]:
    """The places before 0, factor, 2 factors..., and how far beyond each."""
    places = np.minimum(np.arange(count) * factor, most - 1)
    before = np.minimum(places.astype(np.intp), most - 2)
    return before, (places - before).astype(np.float32)


def _powers_of_ten(sound: Samples) -> NDArray[np.float32]:
    """As `mel.log_mel` has them, without its limits and its scale."""
    padded = np.pad(sound, mel.WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(padded, mel.WINDOW)[:: mel.HOP][: len(sound) // mel.HOP]
    parts = scipy.fft.rfft(frames * mel.window(), axis=1)
    found: NDArray[np.float32] = np.log10(
        np.maximum((parts.real**2 + parts.imag**2) @ mel.filterbank().T, 1e-10)
    )
    return found


def _filled(kept: Sequence[tuple[NDArray[np.float32], Units]], length: int) -> Batch:
    count = len(kept)
    bands = np.zeros((count, length, mel.BANDS), np.float32)
    is_filling = np.ones((count, length // STEP), np.float32)
    phones, is_none = np.zeros((count, MOST_PHONES), np.int32), np.ones((count, MOST_PHONES), np.float32)
    for place, (heard, row) in enumerate(kept):
        bands[place, : len(heard)] = heard
        is_filling[place, : max(1, len(heard) // STEP)] = 0.0
        phones[place, : len(row)] = row
        is_none[place, : len(row)] = 0.0
    return Batch(bands, is_filling, phones, is_none)
