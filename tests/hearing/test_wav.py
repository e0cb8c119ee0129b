"""WAV files of every usual shape, and files that are none, against SoX (which writes them)."""

import shutil
import struct
import subprocess
import wave
from pathlib import Path

import numpy as np
import pytest

from kitchend.hearing.wav import RecordingError, read_wav

SHAPES = [
    pytest.param(["-r", "16000", "-b", "16", "-c", "1"], id="16 kHz 16 bit mono"),
    pytest.param(["-r", "48000", "-b", "24", "-c", "2"], id="48 kHz 24 bit stereo"),
    pytest.param(["-r", "44100", "-b", "32", "-c", "2"], id="44.1 kHz 32 bit stereo"),
    pytest.param(["-r", "8000", "-b", "8", "-c", "1", "-e", "unsigned-integer"], id="8 kHz 8 bit"),
    pytest.param(["-r", "96000", "-b", "32", "-c", "1", "-e", "floating-point"], id="96 kHz float"),
    pytest.param(["-r", "22050", "-b", "64", "-c", "1", "-e", "floating-point"], id="22 kHz double"),
    pytest.param(["-r", "16000", "-b", "24", "-c", "6"], id="six channels"),
]


@pytest.mark.parametrize("shape", SHAPES)
def test_a_tone_is_read_from_every_shape_of_file(shape: list[str], tmp_path: Path) -> None:
    if shutil.which("sox") is None:
        pytest.skip("SoX is not installed: apt install sox")
    file = tmp_path / "tone.wav"
    subprocess.run(
        ["sox", "-D", "-n", *shape, str(file), "synth", "1", "sine", "500", "vol", "0.5"], check=True
    )
    sound = read_wav(file)
    assert sound.dtype == np.float32
    assert len(sound) == pytest.approx(16_000, abs=2)
    middle = sound[2000:14_000]
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert spectrum.argmax() * 16_000 / len(middle) == pytest.approx(500.0, abs=2.0)
    assert np.abs(middle).max() == pytest.approx(0.5, abs=0.02)


def riff(*chunks: tuple[bytes, bytes]) -> bytes:
    body = b"".join(name + struct.pack("<I", len(data)) + data for name, data in chunks)
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WAVE" + body


PCM = (b"fmt ", struct.pack("<HHIIHH", 1, 1, 16_000, 32_000, 2, 16))
BROKEN = [
    pytest.param(b"", "does not begin with RIFF", id="empty"),
    pytest.param(b"plan: Supper\n", "does not begin with RIFF", id="text"),
    pytest.param(b"fLaC" + bytes(100), "does not begin with RIFF", id="another format"),
    pytest.param(b"RIFF", "does not begin with RIFF", id="cut off at once"),
    pytest.param(riff(PCM), "holds no sound", id="no data"),
    pytest.param(riff((b"data", bytes(10)), PCM), "before its format", id="sound before its format"),
    pytest.param(riff((b"fmt ", b"\1\0"), (b"data", bytes(10))), "format is cut off", id="half a format"),
    pytest.param(
        riff((b"fmt ", struct.pack("<HHIIHH", 1, 0, 16_000, 0, 0, 16)), (b"data", b"")),
        "0 channels",
        id="no channels",
    ),
    pytest.param(
        riff((b"fmt ", struct.pack("<HHIIHH", 1, 1, 0, 0, 2, 16)), (b"data", b"")), "0 Hz", id="no rate"
    ),
    pytest.param(
        riff((b"fmt ", struct.pack("<HHIIHH", 85, 1, 16_000, 0, 2, 16)), (b"data", b"")),
        "format is 85",
        id="MP3 inside",
    ),
]


@pytest.mark.parametrize(("data", "problem"), BROKEN)
def test_what_is_no_sound_is_refused_in_one_line(data: bytes, problem: str, tmp_path: Path) -> None:
    file = tmp_path / "broken.wav"
    file.write_bytes(data)
    with pytest.raises(RecordingError, match=problem) as caught:
        read_wav(file)
    assert str(caught.value).startswith(f"{file}: ")
    assert "\n" not in str(caught.value)


def test_a_folder_and_a_missing_file_are_named(tmp_path: Path) -> None:
    with pytest.raises(RecordingError, match="is a folder"):
        read_wav(tmp_path)
    with pytest.raises(RecordingError, match=r"none\.wav: cannot be read: No such file"):
        read_wav(tmp_path / "none.wav")


def test_a_file_cut_off_in_its_sound_gives_what_is_there(tmp_path: Path) -> None:
    file = tmp_path / "cut.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", ""))
        out.writeframes(bytes(32_000))
    file.write_bytes(file.read_bytes()[:-10_001])
    assert len(read_wav(file)) == (32_000 - 10_001) // 2
