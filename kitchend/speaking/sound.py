"""Sound as a value: mono samples and their rate, and the few things done to them.

Nothing here plays, records or makes speech. A sound never changes: its samples are read-only and every helper
returns a new one. Full scale is 1.0; what goes beyond is clipped only when it leaves as 16-bit.
"""

import wave
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soxr
from numpy.typing import ArrayLike, NDArray

PCM16_SCALE = 32768.0
AUDIBLE = 0.01  # of full scale; quieter than this at either end is taken for silence
HELD_S = 0.004
MOST_GAIN = 8.0  # a sound that needs more is noise, not soft speech


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sound:
    """`samples` is float32[n], mono, full scale 1.0; `rate` is in Hz. Raises ValueError for other shapes."""

    samples: NDArray[np.float32]
    rate: int

    def __post_init__(self) -> None:
        samples = np.array(self.samples, dtype=np.float32)
        if samples.ndim != 1:
            raise ValueError(f"a sound is one row of samples, this has shape {samples.shape}")
        if self.rate <= 0:
            raise ValueError(f"a sound's rate is above 0 Hz, not {self.rate}")
        samples.flags.writeable = False
        object.__setattr__(self, "samples", samples)

    @property
    def duration_s(self) -> float:
        """How long it lasts, in seconds."""
        return len(self.samples) / self.rate

    @property
    def peak(self) -> float:
        """The largest absolute sample, 0.0 for an empty sound."""
        return float(np.max(np.abs(self.samples), initial=0.0))

    def resampled(self, rate: int) -> "Sound":
        """The same sound at `rate` Hz."""
        if rate == self.rate:
            return self
        return Sound(samples=soxr.resample(self.samples, self.rate, rate), rate=rate)

    def scaled(self, gain: float) -> "Sound":
        """The same sound, `gain` times as large."""
        return Sound(samples=self.samples * np.float32(gain), rate=self.rate)

    def levelled(self, rms: float, peak: float = 0.95) -> "Sound":
        """As loud as `rms` over its audible part, or as near as `peak` allows."""
        loud = self.samples[np.abs(self.samples) > AUDIBLE]
        if not len(loud):
            return self
        gain = rms / float(np.sqrt(np.mean(np.square(loud, dtype=np.float64))))
        return self.scaled(min(gain, peak / self.peak, MOST_GAIN))

    def held(self, peak: float = 0.95) -> "Sound":
        """The sound with what goes beyond `peak` turned down for some ms around it, so that nothing clips."""
        if self.peak <= peak:
            return self
        width = max(1, int(HELD_S * self.rate))
        blocks = -(-len(self.samples) // width)
        padded = np.pad(np.abs(self.samples), (0, blocks * width - len(self.samples)))
        gains = np.minimum(1.0, peak / np.maximum(padded.reshape(blocks, width).max(axis=1), 1e-9))
        # A gain serves the blocks beside it as well, and changes evenly between their middles.
        around = np.minimum(gains, np.minimum(np.r_[gains[1:], 1.0], np.r_[1.0, gains[:-1]]))
        middles = (np.arange(blocks) + 0.5) * width
        gain = np.interp(np.arange(len(self.samples)), middles, around)
        return from_samples(np.clip(self.samples * gain, -peak, peak), self.rate)

    def trimmed(self, keep_s: float = 0.02) -> "Sound":
        """Without the silence at both ends, but for `keep_s` of it; silence alone becomes empty."""
        loud = np.flatnonzero(np.abs(self.samples) > AUDIBLE)
        if not len(loud):
            return Sound(samples=np.zeros(0, np.float32), rate=self.rate)
        keep = int(keep_s * self.rate)
        return Sound(samples=self.samples[max(0, loud[0] - keep) : loud[-1] + 1 + keep], rate=self.rate)

    def pcm16(self) -> bytes:
        """Little-endian signed 16-bit samples, clipped at full scale."""
        scaled = np.clip(self.samples * PCM16_SCALE, -PCM16_SCALE, PCM16_SCALE - 1)
        return bytes(scaled.astype("<i2").tobytes())

    def to_wav(self, path: Path) -> None:
        """Write a mono 16-bit WAV file; raises OSError."""
        with wave.open(str(path), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(self.rate)
            file.writeframes(self.pcm16())


def from_samples(samples: ArrayLike, rate: int) -> Sound:
    """A sound from anything numpy takes for one row of numbers, full scale 1.0."""
    return Sound(samples=np.asarray(samples, dtype=np.float32), rate=rate)


def from_pcm16(data: bytes, rate: int) -> Sound:
    """A sound from little-endian signed 16-bit mono samples; an odd last byte is left out."""
    whole = data[: len(data) // 2 * 2]
    return Sound(samples=np.frombuffer(whole, "<i2").astype(np.float32) / np.float32(PCM16_SCALE), rate=rate)


def from_wav(path: Path) -> Sound:
    """A sound from a 16-bit WAV file, its channels averaged. Raises OSError, ValueError for other files."""
    try:
        with wave.open(str(path), "rb") as file:
            width, channels, rate = file.getsampwidth(), file.getnchannels(), file.getframerate()
            data = file.readframes(file.getnframes())
    except (wave.Error, EOFError) as error:
        raise ValueError(f"{path} is not a WAV file that can be read") from error
    if width != 2:
        raise ValueError(f"{path} has {8 * width}-bit samples; only 16-bit WAV files are read")
    frames = from_pcm16(data, rate).samples
    return from_samples(frames[: len(frames) // channels * channels].reshape(-1, channels).mean(axis=1), rate)


def silence(duration_s: float, rate: int) -> Sound:
    """`duration_s` seconds of nothing."""
    return Sound(samples=np.zeros(round(duration_s * rate), np.float32), rate=rate)


def joined(*sounds: Sound, gap_s: float = 0.0) -> Sound:
    """The sounds one after the other, `gap_s` of silence between, at the highest of their rates."""
    if not sounds:
        raise ValueError("there is nothing to join")
    rate = max(sound.rate for sound in sounds)
    gap = silence(gap_s, rate).samples
    parts = [part for sound in sounds for part in (gap, sound.resampled(rate).samples)]
    return Sound(samples=np.concatenate(parts[1:]), rate=rate)
