"""Sound as a value: what each helper does, and that nothing it is given changes."""

import wave
from pathlib import Path

import numpy as np
import pytest

from kitchend.speaking.sound import Sound, from_pcm16, from_samples, from_wav, joined, silence


def tone(hz: float = 440.0, seconds: float = 0.5, rate: int = 16_000, level: float = 0.5) -> Sound:
    return from_samples(level * np.sin(2 * np.pi * hz * np.arange(round(seconds * rate)) / rate), rate)


def pitch_of(sound: Sound) -> float:
    window = np.abs(np.fft.rfft(sound.samples * np.hanning(len(sound.samples))))
    return float(np.argmax(window) * sound.rate / len(sound.samples))


def test_a_sound_lasts_as_long_as_its_samples_say() -> None:
    assert tone(seconds=0.5).duration_s == 0.5
    assert silence(1.25, 8_000).duration_s == 1.25


def test_samples_cannot_be_changed_from_outside() -> None:
    given = np.zeros(4, np.float32)
    sound = Sound(samples=given, rate=8_000)
    given[0] = 1.0
    assert sound.samples[0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        sound.samples[0] = 1.0


@pytest.mark.parametrize(
    ("samples", "rate", "complaint"),
    [
        pytest.param(np.zeros((2, 3)), 8_000, "one row of samples", id="two channels"),
        pytest.param(np.zeros(3), 0, "above 0 Hz", id="no rate"),
        pytest.param(np.zeros(3), -1, "above 0 Hz", id="negative rate"),
    ],
)
def test_what_is_no_sound_is_refused(samples: np.ndarray, rate: int, complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        from_samples(samples, rate)


@pytest.mark.parametrize("rate", [8_000, 22_050, 44_100, 48_000])
def test_resampling_keeps_pitch_level_and_length(rate: int) -> None:
    there = tone().resampled(rate)
    assert there.rate == rate
    assert there.duration_s == pytest.approx(0.5, abs=1 / rate)
    assert pitch_of(there) == pytest.approx(440, abs=2)
    middle = there.samples[rate // 8 : -rate // 8]
    assert np.sqrt(np.mean(middle**2)) == pytest.approx(0.5 / np.sqrt(2), rel=0.01)


def test_resampling_to_the_same_rate_changes_nothing() -> None:
    sound = tone()
    assert sound.resampled(16_000) is sound


def test_levelling_sets_the_loudness_of_the_part_that_is_heard() -> None:
    quiet = joined(silence(0.5, 16_000), tone(level=0.1), silence(0.5, 16_000))
    loud = quiet.levelled(0.2)
    heard = loud.samples[np.abs(quiet.samples) > 0.01]
    assert np.sqrt(np.mean(heard**2)) == pytest.approx(0.2, rel=0.01)


def test_levelling_never_clips_and_leaves_silence_alone() -> None:
    assert tone(level=0.3).levelled(2.0).peak == pytest.approx(0.95, rel=0.01)
    assert silence(0.1, 8_000).levelled(0.2).peak == 0.0


def test_trimming_takes_the_silence_at_the_ends_only() -> None:
    inside = joined(tone(seconds=0.2), silence(0.3, 16_000), tone(seconds=0.2))
    padded = joined(silence(0.4, 16_000), inside, silence(0.6, 16_000))
    assert padded.trimmed(keep_s=0.02).duration_s == pytest.approx(inside.duration_s + 0.04, abs=0.002)
    assert silence(0.4, 16_000).trimmed().duration_s == 0.0


def test_joining_keeps_order_and_gaps_at_the_highest_rate() -> None:
    whole = joined(tone(300, 0.3, 8_000), tone(900, 0.2, 16_000), gap_s=0.1)
    assert whole.rate == 16_000
    assert whole.duration_s == pytest.approx(0.6, abs=0.001)
    first, gap, second = np.split(whole.samples, [4_800, 6_400])
    assert pitch_of(from_samples(first, 16_000)) == pytest.approx(300, abs=5)
    assert np.max(np.abs(gap)) == 0.0
    assert pitch_of(from_samples(second, 16_000)) == pytest.approx(900, abs=5)


def test_nothing_cannot_be_joined() -> None:
    with pytest.raises(ValueError, match="nothing to join"):
        joined()


def test_a_wav_file_brings_back_the_sound_that_was_written(tmp_path: Path) -> None:
    tone().to_wav(tmp_path / "tone.wav")
    back = from_wav(tmp_path / "tone.wav")
    assert back.rate == 16_000
    assert np.max(np.abs(back.samples - tone().samples)) <= 1 / 32_768


def test_a_written_wav_file_is_mono_and_16_bit_for_other_readers(tmp_path: Path) -> None:
    from_samples([0.0, 1.0, -1.0, 2.0, -2.0], 8_000).to_wav(tmp_path / "loud.wav")
    with wave.open(str(tmp_path / "loud.wav")) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 8_000)
        assert np.frombuffer(file.readframes(5), "<i2").tolist() == [0, 32_767, -32_768, 32_767, -32_768]


def test_a_stereo_file_is_read_as_the_mean_of_its_channels(tmp_path: Path) -> None:
    with wave.open(str(tmp_path / "two.wav"), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(8_000)
        file.writeframes(np.array([[16_384, 0], [-16_384, -16_384]], "<i2").tobytes())
    assert from_wav(tmp_path / "two.wav").samples.tolist() == [0.25, -0.5]


@pytest.mark.parametrize(
    ("content", "complaint"),
    [
        pytest.param(b"", "not a WAV file", id="empty"),
        pytest.param(b"once upon a time", "not a WAV file", id="text"),
        pytest.param(b"RIFF\x00\x00\x00\x00WAVEfmt ", "not a WAV file", id="cut short"),
    ],
)
def test_a_file_that_is_no_sound_is_one_line(tmp_path: Path, content: bytes, complaint: str) -> None:
    (tmp_path / "bad.wav").write_bytes(content)
    with pytest.raises(ValueError, match=complaint) as caught:
        from_wav(tmp_path / "bad.wav")
    assert "bad.wav" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_8_bit_files_are_refused_by_name(tmp_path: Path) -> None:
    with wave.open(str(tmp_path / "old.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(8_000)
        file.writeframes(b"\x80" * 10)
    with pytest.raises(ValueError, match=r"old\.wav has 8-bit samples"):
        from_wav(tmp_path / "old.wav")


def test_an_odd_last_byte_is_left_out() -> None:
    assert len(from_pcm16(b"\x00\x40\x00", 8_000).samples) == 1
