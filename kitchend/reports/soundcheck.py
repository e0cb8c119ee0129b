"""What a soundcheck found and what to change, for people and for programs. Measures; makes no sound.

Levels are in decibels below full scale (0 dB is as loud as the device can tell), times in seconds. The limits
are what the listener was measured to need, not laws.
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass

import numpy as np
from numpy.typing import NDArray

from kitchend.core.tongue import clause
from kitchend.reports.reasons import why_let_go

RATE = 16_000
FRAME = 320
"""Samples of a frame: 20 ms."""

CLIP_LEVEL = 0.99
CLIPPED_MOST = 0.001
NOISE_MOST_DB = -40.0
SPEECH_LEAST_DB = -40.0
ABOVE_NOISE_DB = 12.0
FOUND_LEAST = 8.0
"""How far the best match must stand out from the others, in standard deviations, to be what was played."""

SILENT_DB = -100.0

Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """A phrase that was to be repeated, what the ears took it for (empty: nothing that counts), and why."""

    asked: str
    heard: str
    reason: str

    @property
    def is_understood(self) -> bool:
        """Whether it is what was asked for."""
        return self.heard == self.asked

    def line(self) -> str:
        """The same for people."""
        key = "understood" if self.is_understood else "taken" if self.heard else "not"
        came = clause(f"soundcheck.{key}", heard=self.heard, why=why_let_go(self.reason))
        return clause("soundcheck.line", asked=self.asked, came=came)

    def to_json(self) -> dict[str, object]:
        """The shape that other programs read."""
        return {**asdict(self), "understood": self.is_understood}


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundCheck:
    """What was measured. `round_trip_s` is from asking for a sound to hearing it; None: it was not heard.

    `way_db` is how much louder the chime was at the microphone than it was played, A-weighted; `phrases` what
    became of those to be repeated.
    """

    input: str
    output: str
    noise_db: float
    echo_db: float
    speech_db: float
    clipped: float
    round_trip_s: float | None
    way_db: float | None = None
    phrases: tuple[Repeated, ...] = ()

    @property
    def advice(self) -> tuple[str, ...]:
        """What to change, most important first; empty when all is well."""
        sound = tuple(clause(key) for is_so, key in self._findings() if is_so)
        return sound or self._not_understood()

    def _not_understood(self) -> tuple[str, ...]:
        """The sound is as it should be, and yet not all was understood."""
        missed = sum(not one.is_understood for one in self.phrases)
        if not missed:
            return ()
        return (clause("soundcheck.missed", missed=f"{missed}", count=f"{len(self.phrases)}"),)

    def _findings(self) -> tuple[tuple[bool, str], ...]:
        is_dead = self.noise_db <= SILENT_DB + 1 and self.echo_db <= SILENT_DB + 1
        lost = self.round_trip_s is None and not is_dead
        soft = self.speech_db < SPEECH_LEAST_DB or self.speech_db - self.noise_db < ABOVE_NOISE_DB
        return (
            (is_dead, "soundcheck.dead"),
            (lost, "soundcheck.lost"),
            (self.clipped > CLIPPED_MOST, "soundcheck.clipped"),
            (self.noise_db > NOISE_MOST_DB, "soundcheck.loud"),
            (soft and not is_dead, "soundcheck.soft"),
        )

    def to_json(self) -> dict[str, object]:
        """The shape that other programs read."""
        phrases = [one.to_json() for one in self.phrases]
        return {"ok": not self.advice, **asdict(self), "phrases": phrases, "advice": list(self.advice)}

    def _way_lines(self) -> tuple[str, ...]:
        if self.way_db is None:
            return ()
        return (clause("soundcheck.way", db=f"{self.way_db:+.0f}"),)

    def lines(self) -> list[str]:
        """The same for people."""
        is_lost = self.round_trip_s is None
        way = clause("soundcheck.not.heard") if is_lost else f"{(self.round_trip_s or 0) * 1000:.0f} ms"
        noise, speech, own = (f"{db:.0f}" for db in (self.noise_db, self.speech_db, self.echo_db))
        return [
            clause("soundcheck.devices", input=self.input, output=self.output),
            clause("soundcheck.levels", noise=noise, speech=speech, own=own),
            *self._way_lines(),
            clause("soundcheck.round", share=f"{100 * self.clipped:.1f}", way=way),
            *(one.line() for one in self.phrases),
            *(self.advice or (clause("soundcheck.well"),)),
        ]


def noise_of(samples: Samples) -> float:
    """The level of the quieter moments, float32[n] at 16 kHz, in dB: the noise that is always there."""
    return _level(_frames(samples), 20)


def loudness_of(samples: Samples) -> float:
    """The level of the louder moments, float32[n] at 16 kHz, in dB: what somebody says."""
    return _level(_frames(samples), 95)


def clipped_share(samples: Samples) -> float:
    """The share of samples at full scale, 0 to 1."""
    return float(np.mean(np.abs(samples) >= CLIP_LEVEL)) if len(samples) else 0.0


def found_at(sound: Samples, recording: Samples) -> float | None:
    """Where `sound` begins in `recording`, both float32[n] at 16 kHz, in seconds; None if it is not in it."""
    if len(recording) < len(sound) or not len(sound):
        return None
    size = 1 << math.ceil(math.log2(len(recording) + len(sound)))
    spectrum = np.fft.rfft(recording, size) * np.conj(np.fft.rfft(sound, size))
    match = np.abs(np.fft.irfft(spectrum, size)[: len(recording) - len(sound) + 1])
    spread = float(np.std(match))
    best = int(np.argmax(match))
    if spread == 0.0 or (match[best] - float(np.mean(match))) / spread < FOUND_LEAST:
        return None
    return best / RATE


def _frames(samples: Samples) -> NDArray[np.float64]:
    whole = samples[: len(samples) // FRAME * FRAME].astype(np.float64).reshape(-1, FRAME)
    loudness: NDArray[np.float64] = np.sqrt(np.mean(np.square(whole), axis=1))
    return loudness


def _level(frames: NDArray[np.float64], percentile: float) -> float:
    loudness = float(np.percentile(frames, percentile)) if len(frames) else 0.0
    return max(SILENT_DB, 20 * math.log10(max(loudness, 1e-12)))
