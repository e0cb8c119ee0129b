"""The conversation as a sound file: what is in it, and how little of the silence."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kitchend.core.clock import Instant
from kitchend.rehearsal.recording import LONGEST_SILENCE_S, RATE, Recording
from kitchend.speaking.sound import Sound, from_samples, from_wav


def tone(seconds: float, rate: int = RATE) -> Sound:
    return from_samples(0.5 * np.sin(2 * np.pi * 440 * np.arange(round(seconds * rate)) / rate), rate)


def recorded(folder: Path, *sounds: tuple[float, Sound]) -> Sound:
    path = folder / "dinner.wav"
    with Recording(path) as recording:
        for at, sound in sounds:
            recording.add(sound, Instant(at))
    return from_wav(path)


SILENCES = {
    "short pauses stay as they were": (1.0, 1.0),
    "long pauses are cut": (600.0, LONGEST_SILENCE_S),
    "what would overlap follows at once": (-0.25, 0.0),
}


@pytest.mark.parametrize(("pause", "kept"), SILENCES.values(), ids=SILENCES)
def test_pauses_in_the_file(tmp_path: Path, pause: float, kept: float) -> None:
    whole = recorded(tmp_path, (100.0, tone(0.5)), (100.5 + pause, tone(0.5)))

    assert whole.duration_s == pytest.approx(1.0 + kept, abs=0.001)


def test_the_file_is_mono_at_one_rate_whatever_went_in(tmp_path: Path) -> None:
    whole = recorded(tmp_path, (0.0, tone(1.0, 16_000)), (1.0, tone(1.0, 48_000)))

    assert whole.rate == RATE
    assert whole.duration_s == pytest.approx(2.0, abs=0.01)
    assert whole.peak == pytest.approx(0.5, abs=0.05)


def test_silence_is_silent_and_the_sounds_are_there(tmp_path: Path) -> None:
    whole = recorded(tmp_path, (0.0, tone(0.5)), (1.5, tone(0.5)))
    third = len(whole.samples) // 4

    assert np.abs(whole.samples[third + 100 : 3 * third - 100]).max() == 0.0
    assert np.abs(whole.samples[:third]).max() > 0.4
    assert np.abs(whole.samples[3 * third :]).max() > 0.4


def test_a_file_that_cannot_be_written_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="nowhere"):
        Recording(tmp_path / "nowhere" / "dinner.wav")
