"""Where phrases begin and end: marks for given chances of speech, and the real detector on real speech."""

from collections.abc import Iterable

import numpy as np
import pytest

from kitchend.hearing.detect import CHUNK, CHUNK_S, Chunker, Detector, Habits, Mark
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.silero import Silero
from tests.hearing.conftest import Speak

HABITS = Habits()
SILENT, LOUD = np.zeros(CHUNK, np.float32), np.ones(CHUNK, np.float32)


def chunks_of(seconds: float) -> int:
    return max(1, round(seconds / CHUNK_S))


ONSET, PAUSE, END = chunks_of(HABITS.onset_s), chunks_of(HABITS.pause_s), chunks_of(HABITS.end_s)
RESUME = chunks_of(HABITS.resume_s)
END_WHEN_COMPLETE = chunks_of(HABITS.end_when_complete_s)


def by_loudness(chunk: Samples) -> float:
    """A chance of speech that a test can set: the loudness of the chunk."""
    return float(chunk[0])


def marks(detector: Detector, loud: Iterable[int], is_complete: bool = False) -> list[Mark]:
    return [detector.hear(LOUD if is_loud else SILENT, is_complete) for is_loud in loud]


def test_a_phrase_opens_after_its_onset_and_ends_after_its_silence() -> None:
    heard = marks(Detector(by_loudness), [1] * 20 + [0] * END)
    assert heard[: ONSET - 1] == [Mark.SILENCE] * (ONSET - 1)
    assert heard[ONSET - 1] is Mark.OPENED
    assert heard[20 + PAUSE - 1] is Mark.PAUSED
    assert heard[20 + END - 1] is Mark.ENDED
    assert heard.count(Mark.ENDED) == heard.count(Mark.PAUSED) == heard.count(Mark.OPENED) == 1


def test_a_knock_opens_nothing() -> None:
    assert set(marks(Detector(by_loudness), [1] * (ONSET - 1) + [0] * 50)) == {Mark.SILENCE}


def test_a_speaker_who_goes_on_after_a_pause_is_still_in_the_same_phrase() -> None:
    heard = marks(Detector(by_loudness), [1] * 20 + [0] * (END - 1) + [1] * RESUME + [0] * END)
    assert heard[20 + END - 1 + RESUME - 1] is Mark.RESUMED
    assert [mark for mark in heard if mark in (Mark.PAUSED, Mark.ENDED)] == [
        Mark.PAUSED,
        Mark.PAUSED,
        Mark.ENDED,
    ]


def test_a_clatter_in_a_pause_is_no_speech_and_ends_nothing_by_itself() -> None:
    clatter = [1] * (RESUME - 1)
    heard = marks(Detector(by_loudness), [1] * 20 + [0] * PAUSE + clatter + [0] * END)
    assert Mark.RESUMED not in heard
    assert heard.index(Mark.ENDED) == 20 + END - 1
    late = marks(Detector(by_loudness), [1] * 20 + [0] * (END - 1) + clatter + [0])
    assert late.index(Mark.ENDED) == 20 + END - 1 + len(clatter)


def test_after_a_whole_command_a_pause_is_seen_sooner() -> None:
    sooner = chunks_of(HABITS.pause_when_complete_s)
    assert sooner < PAUSE
    heard = marks(Detector(by_loudness), [1] * 20 + [0] * sooner, is_complete=True)
    assert heard[-1] is Mark.PAUSED


def test_a_whole_command_ends_sooner() -> None:
    assert END_WHEN_COMPLETE < END
    heard = marks(Detector(by_loudness), [1] * 20 + [0] * END_WHEN_COMPLETE, is_complete=True)
    assert heard[-1] is Mark.ENDED


def test_the_phrase_begins_with_the_sound_before_its_onset_and_holds_its_silence() -> None:
    detector = Detector(by_loudness)
    marks(detector, [0] * 100 + [1] * 20 + [0] * END)
    before = chunks_of(HABITS.pre_roll_s + HABITS.onset_s) - ONSET
    assert detector.phrase.tolist() == [0.0] * CHUNK * before + [1.0] * CHUNK * 20 + [0.0] * CHUNK * END
    assert detector.silence_s == pytest.approx(END * CHUNK_S)


def test_a_second_phrase_starts_afresh() -> None:
    detector = Detector(by_loudness)
    once = marks(detector, [1] * 20 + [0] * END)
    assert marks(detector, [1] * 20 + [0] * END) == once
    assert detector.phrase.shape[0] <= CHUNK * (20 + END + chunks_of(HABITS.pre_roll_s + HABITS.onset_s))


def test_a_noise_that_never_stops_is_cut_off() -> None:
    heard = marks(Detector(by_loudness), [1] * (chunks_of(HABITS.longest_s) + 50))
    assert Mark.ENDED in heard


def test_forgetting_leaves_nothing_of_the_phrase() -> None:
    detector = Detector(by_loudness)
    marks(detector, [1] * 20)
    detector.reset()
    assert len(detector.phrase) == 0
    assert set(marks(detector, [0] * END)) == {Mark.SILENCE}


@pytest.mark.parametrize("size", [1, 160, 511, 512, 513, 4096])
def test_blocks_of_any_size_become_the_same_chunks(size: int) -> None:
    sound = np.arange(5000, dtype=np.float32)
    chunker = Chunker()
    blocks = [sound[i : i + size] for i in range(0, len(sound), size)]
    cut = [chunk for block in blocks for chunk in chunker.cut(block)]
    assert [len(chunk) for chunk in cut] == [CHUNK] * (len(sound) // CHUNK)
    assert np.array_equal(np.concatenate(cut), sound[: len(cut) * CHUNK])


def test_real_speech_lies_within_the_phrase_that_is_found(speak: Speak) -> None:
    second = np.zeros(SAMPLE_RATE, np.float32)
    speech = speak("five more minutes on the greens")
    audible = np.flatnonzero(np.abs(speech) > 0.02) + SAMPLE_RATE
    detector, opened, ended = Detector(Silero()), [], []
    for at, chunk in enumerate(Chunker().cut(np.concatenate([second, speech, second, second])), start=1):
        mark = detector.hear(chunk)
        if mark is Mark.OPENED:
            opened.append(at * CHUNK - len(detector.phrase))
        elif mark is Mark.ENDED:
            ended.append(at * CHUNK)
    assert len(opened) == len(ended) == 1
    assert opened[0] <= audible[0]
    assert audible[-1] < ended[0] < audible[-1] + SAMPLE_RATE


def test_silence_and_steady_noise_are_no_speech() -> None:
    noise = np.random.default_rng(3).normal(0.0, 0.05, 4 * SAMPLE_RATE).astype(np.float32)
    for sound in (np.zeros_like(noise), noise):
        detector = Detector(Silero())
        assert {detector.hear(chunk) for chunk in Chunker().cut(sound)} == {Mark.SILENCE}
