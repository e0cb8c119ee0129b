"""Sound on the disk: none unless it was asked for, and then one readable file a phrase."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest

from kitchend.core.clock import WallTime
from kitchend.errors import DeviceError
from kitchend.hearing import Heard
from kitchend.hearing.capture import ArraySource
from kitchend.hearing.ports import SAMPLE_RATE
from kitchend.service.kept_sound import AROUND_S, SoundKeeper
from kitchend.service.memory import SimulatedClock

PHRASE = Heard(text="heard", accepted=True, reason="", started_s=0.0, ended_s=0.0, audio_s=1.5, took_s=0.1)
CLOCK = SimulatedClock(WallTime(1_700_000_000.0, 0))  # 2023-11-14 22:13:20 UTC


def test_a_phrase_is_kept_as_it_sounded_and_for_its_owner_alone(tmp_path: Path) -> None:
    keeper = SoundKeeper(tmp_path / "kept", CLOCK, pytest.fail)
    tone = np.linspace(-1.0, 1.0, 5 * SAMPLE_RATE, dtype=np.float32)
    source = keeper.source(ArraySource(tone))
    given = np.concatenate(list(source.blocks()))
    source.keep(PHRASE)
    source.keep(PHRASE)
    assert np.array_equal(given, tone)
    files = sorted(path.name for path in (tmp_path / "kept").iterdir())
    assert files == ["2023-11-14 22.13.20 (2).wav", "2023-11-14 22.13.20.wav"]
    kept = tmp_path / "kept" / files[1]
    with wave.open(str(kept)) as sound:
        assert (sound.getframerate(), sound.getnchannels()) == (SAMPLE_RATE, 1)
        samples = np.frombuffer(sound.readframes(sound.getnframes()), "<i2") / 32767
    wanted = tone[-int((1.5 + AROUND_S) * SAMPLE_RATE) :]
    assert np.allclose(samples, wanted, atol=1e-4)
    assert kept.stat().st_mode & 0o777 == 0o600


def test_a_folder_that_cannot_be_made_is_refused_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(DeviceError, match=r"kept sound: .* cannot be made: Not a directory; name another"):
        SoundKeeper(tmp_path / "file" / "kept", CLOCK, pytest.fail)
