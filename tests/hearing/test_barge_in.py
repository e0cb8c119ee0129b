"""Own speech lined up with its echo and taken out: late echoes, clocks that differ, speech broken off."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
import soxr

from kitchend.hearing.barge_in import BargeIn, Passed, Powers, is_own_rest
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from tests.hearing.test_echo import db, rustle, way

GAP = 2 * SAMPLE_RATE
BLOCK = 512


def utterance(seed: int) -> Samples:
    return rustle(4.0, seed=seed)


class Stage:
    """A microphone that hears what is played, some time after it is told, by a clock of its own."""

    def __init__(self, late_s: float = 0.12, ppm: float = 0.0, hiss: float = 1e-4) -> None:
        self.own = OwnVoice()
        self.taking = BargeIn(self.own)
        self._late = int(late_s * SAMPLE_RATE)
        self._ppm = ppm
        self._count = 0
        self.own.heard_by(lambda: self._count)
        self._hiss = np.random.default_rng(5)
        self._level = hiss

    def hear(self, own: Samples | None, other: Samples | None = None, jitter: int = 0) -> list[Passed]:
        """An utterance, somebody else beside it, and the pause after it."""
        length = GAP + (0 if own is None else len(own) + self._late)
        heard = self._hiss.normal(0, self._level, length).astype(np.float32)
        if own is not None:
            self.own.begins_at(own, self._count + jitter)
            back = np.convolve(soxr.resample(own, 1 + self._ppm * 1e-6, 1.0), way())[: len(own)]
            heard[self._late : self._late + len(back)] += back.astype(np.float32)
        if other is not None:
            heard[GAP : GAP + len(other)] += other
        return self.give(heard)

    def give(self, heard: Samples) -> list[Passed]:
        found: list[Passed] = []
        for start in range(0, len(heard), BLOCK):
            part = heard[start : start + BLOCK]
            self._count += len(part)
            found += self.taking.take(part)
        return found


def cleaned(passed: Sequence[Passed]) -> Samples:
    return np.concatenate([one.samples for one in passed if one.own is not None])


def learn(stage: Stage, utterances: int = 4) -> None:
    for number in range(utterances):
        stage.hear(utterance(number), jitter=200 * (number % 3))


def test_without_own_speech_sound_passes_as_it_is_and_at_once() -> None:
    stage = Stage()
    sound = rustle(1.0, seed=9)
    passed = stage.give(sound)
    assert np.array_equal(np.concatenate([one.samples for one in passed]), sound)
    assert all(one.own is None and not one.is_deaf for one in passed)


def test_it_is_deaf_until_the_way_is_known_and_hears_after_that() -> None:
    stage = Stage()
    first = [one for one in stage.hear(utterance(0)) if one.own is not None]
    assert first[0].is_deaf
    learn(stage)
    later = [one for one in stage.hear(utterance(8)) if one.own is not None]
    assert not any(one.is_deaf for one in later)
    assert db(cleaned(later)) < db(utterance(8)) - 25


def test_the_gain_of_the_way_is_told_once_it_is_known() -> None:
    stage = Stage()
    assert stage.taking.way_db is None
    learn(stage)
    assert stage.taking.way_db == pytest.approx(20 * np.log10(np.linalg.norm(way())), abs=3.0)


@pytest.mark.parametrize("ppm", [60.0, -90.0])
def test_a_loudspeaker_by_another_clock_is_followed(ppm: float) -> None:
    stage = Stage(ppm=ppm)
    learn(stage, utterances=6)
    later = [one for one in stage.hear(utterance(8)) if one.own is not None]
    assert not any(one.is_deaf for one in later)
    assert db(cleaned(later)) < db(utterance(8)) - 20


def test_somebody_speaking_over_it_is_still_there() -> None:
    stage = Stage()
    learn(stage)
    other = rustle(1.5, seed=20)
    left = cleaned(stage.hear(utterance(8), other))
    lags = np.correlate(left, other, "valid")
    assert lags.max() / (np.linalg.norm(other) * np.linalg.norm(left)) > 0.8


def test_speech_that_breaks_off_leaves_no_ghost_of_what_was_not_played() -> None:
    stage = Stage()
    learn(stage)
    own = utterance(8)
    stage.own.begins_at(own, stage._count)
    half = len(own) // 2
    back = np.convolve(own, way())[:half].astype(np.float32)
    stage.give(np.concatenate([np.zeros(stage._late, np.float32), back]))
    stage.own.stops()
    after = stage.give(np.zeros(2 * SAMPLE_RATE, np.float32))
    assert db(np.concatenate([one.samples for one in after[len(after) // 2 :]])) < db(own) - 40


def run_dry(dry: int, rest: int) -> tuple[Samples, list[Passed]]:
    """An utterance that stops for some samples after its first third: how it comes back, and what passes."""
    stage = Stage()
    learn(stage)
    own = utterance(8)
    stage.own.begins_at(own, stage._count)
    back = np.convolve(own, way())[: len(own)].astype(np.float32)
    first, last = np.split(back, [len(back) // 3])
    before, between, after = (np.zeros(length, np.float32) for length in (stage._late, dry, rest))
    return back, stage.give(np.concatenate([before, first, between, last, after]))


def test_a_loudspeaker_that_runs_dry_and_goes_on_late_is_followed() -> None:
    back, passed = run_dry(1500, 1500)
    late = np.concatenate([one.samples for one in passed])[-len(back) // 3 :]
    assert db(late) < db(back) - 20


def moved(stage: Stage, slips: Sequence[tuple[float, int]]) -> tuple[Samples, list[Passed]]:
    """An utterance moved by so many samples at these seconds: how it comes back, and what passes."""
    own = utterance(8)
    stage.own.begins_at(own, stage._count)
    back = np.convolve(own, way())[: len(own)].astype(np.float32)
    for at_s, samples in slips:
        at = int(at_s * SAMPLE_RATE)
        gap = np.zeros(max(0, samples), np.float32)
        back = np.concatenate([back[:at], gap, back[at - min(0, samples) :]])
    quiet = np.zeros(stage._late, np.float32), np.zeros(GAP, np.float32)
    return back, [
        one for one in stage.give(np.concatenate([quiet[0], back, quiet[1]])) if one.own is not None
    ]


@pytest.mark.parametrize(
    "slips",
    [
        ((0.3, 41), (0.6, 24)),
        ((0.9, 24),),
        ((0.9, -49),),
        ((0.0, 2560), (0.4, -2560), (0.9, -24)),
        ((1.5, 20), (2.0, 30)),
    ],
    ids=["twice at once", "once", "forward", "far and near", "later"],
)
def test_an_utterance_that_the_sound_server_moves_by_a_few_ms_is_followed(
    slips: Sequence[tuple[float, int]],
) -> None:
    stage = Stage()
    learn(stage)
    back, passed = moved(stage, slips)
    since = int((slips[-1][0] + 0.45) * SAMPLE_RATE) + stage._late
    sound = cleaned(passed)
    assert db(sound[since : len(back)]) < db(back) - 20
    assert not any(one.is_deaf for one in passed[since // passed[0].samples.size :])


def test_an_utterance_that_was_moved_is_not_taken_for_another_clock() -> None:
    stage = Stage()
    learn(stage)
    for slips in ([(0.7, 24)], [(2.0, 2)], [(0.3, 41), (1.2, -20)]):
        moved(stage, slips)
    assert db(cleaned(stage.hear(utterance(9)))) < db(utterance(9)) - 25


def test_a_microphone_that_hears_nothing_of_it_stays_deaf_to_it() -> None:
    stage = Stage()
    stage.own.begins_at(utterance(0), 0)
    passed = [one for one in stage.give(rustle(5.0, seed=30)) if one.own is not None]
    assert passed
    assert all(one.is_deaf for one in passed)


def test_a_microphone_that_gives_pure_silence_is_deaf_and_no_fault() -> None:
    stage = Stage(hiss=0.0)
    stage.own.begins_at(utterance(0), 0)
    passed = [one for one in stage.give(np.zeros(5 * SAMPLE_RATE, np.float32)) if one.own is not None]
    assert passed
    assert all(one.is_deaf for one in passed)


def test_what_is_left_of_own_speech_is_told_from_a_person() -> None:
    assert is_own_rest([Powers(1e-2, 1.01e-2, 1e-4)] * 10)
    assert not is_own_rest([Powers(1e-2, 2e-2, 1e-2)] * 10)
    assert not is_own_rest([None] * 10)


def test_an_echo_that_was_not_there_leaves_no_person() -> None:
    assert is_own_rest([Powers(1e-2, 0.0, 1e-2)] * 10), "only what was taken out is there, upside down"
    assert is_own_rest([Powers(1e-2, 1e-2, 2e-2)] * 10), "it came at another time"
    assert not is_own_rest([Powers(1e-3, 1e-2, 1e-2)] * 10), "a person so loud that it does not matter"


@pytest.mark.parametrize("late_s", [0.45, 0.9])
def test_a_loudspeaker_that_falls_far_behind_is_not_listened_to(late_s: float) -> None:
    """It runs dry for longer than is looked round, and what it plays after that is taken for nobody's."""
    back, passed = run_dry(int(late_s * SAMPLE_RATE), GAP)
    assert sum(len(one.samples) for one in passed) > len(back) + GAP
    leaked = sum(float(np.sum(one.samples**2)) for one in passed if not one.is_deaf)
    assert leaked < 0.12 * float(np.sum(back**2)), leaked / float(np.sum(back**2))


@pytest.mark.parametrize("taught", [1, 4])
def test_one_sentence_straight_after_another_is_lined_up_as_well(taught: int) -> None:
    stage = Stage()
    learn(stage, taught)
    first, second, other = utterance(8), utterance(9), rustle(1.5, seed=20)
    pause = SAMPLE_RATE // 15
    both = np.concatenate([first, np.zeros(pause, np.float32), second])
    stage.own.begins_at(first, stage._count)
    back = np.convolve(both, way())[: len(both)].astype(np.float32)
    at = len(first) + pause + SAMPLE_RATE
    back[at : at + len(other)] += other
    sound = np.concatenate([np.zeros(stage._late, np.float32), back, np.zeros(GAP, np.float32)])
    said = len(first) + pause // 2
    passed = stage.give(sound[:said])
    stage.own.begins_at(second, stage._count + pause // 2)
    passed += stage.give(sound[said:])
    known = [one for one in passed if one.own is not None][-(len(second) // 2) // 256 :]
    assert not any(one.is_deaf for one in known)
    left = np.concatenate([one.samples for one in passed])[at:]
    alike = np.correlate(left[: 2 * len(other)], other, "valid")
    assert alike.max() / (np.linalg.norm(other) * np.linalg.norm(left[: 2 * len(other)])) > 0.8
    assert db(left[2 * SAMPLE_RATE : 3 * SAMPLE_RATE]) < db(second) - 20


def through(stage: Stage, own: Samples, back: Samples) -> Samples:
    """What the ears are given of an utterance that comes back like this; silence where they are deaf."""
    stage.own.begins_at(own, stage._count)
    rest = np.zeros(GAP, np.float32)
    passed = stage.give(np.concatenate([np.zeros(stage._late, np.float32), back, rest]))
    return np.concatenate([one.samples * (not one.is_deaf) for one in passed])


def test_an_echo_that_was_away_for_a_second_is_taken_out_when_it_is_back() -> None:
    """The loudspeaker ran dry, or the microphone did: what was learnt is not given up for it."""
    stage = Stage()
    learn(stage)
    own = utterance(8)
    back = np.convolve(own, way())[: len(own)].astype(np.float32)
    back[SAMPLE_RATE : 2 * SAMPLE_RATE] = 0.0
    given = through(stage, own, back)
    assert db(given[int(2.6 * SAMPLE_RATE) : 4 * SAMPLE_RATE]) < db(own) - 20


def test_another_way_is_learnt_anew() -> None:
    """Somebody moved the loudspeaker: deaf first, and hearing again after some sentences."""
    stage = Stage()
    learn(stage)
    moved = -0.7 * way(seed=4)
    for number in range(5):
        own = utterance(10 + number)
        assert db(through(stage, own, np.convolve(own, moved)[: len(own)].astype(np.float32))) < db(own) - 12
    own, other = utterance(20), rustle(1.5, seed=21)
    back = np.convolve(own, moved)[: len(own)].astype(np.float32)
    back[SAMPLE_RATE : SAMPLE_RATE + len(other)] += other
    given = through(stage, own, back)
    alike = np.correlate(given, other, "valid").max() / np.linalg.norm(other) ** 2
    assert alike > 0.8
