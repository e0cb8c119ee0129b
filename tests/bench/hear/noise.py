"""Kitchen noise from a folder of WAV files, mixed in at a ratio measured over the speech alone.

The kind of a clip is its name without the number. Of each kind some clips are for tuning, the others only to
report. Without a folder only quiet is measured, and the report says so.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.wav import read_wav
from tests.bench.hear.corpus import Part, share_of

LOUD = 0.01
"""Samples above this share of full scale are speech."""
AROUND_S = 0.7
PEAK = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """One recording of noise."""

    file: Path
    kind: str
    part: Part


def clips(folder: Path | None) -> tuple[Clip, ...]:
    """The noises of a folder; of five of a kind three are to tune on, a lone one by its name."""
    if folder is None:
        return ()
    files = sorted(folder.rglob("*.wav"), key=lambda file: (_kind(file), file.name))
    found: list[Clip] = []
    for kind, group in groupby(files, key=_kind):
        listed = list(group)
        tuned = round(0.6 * len(listed)) if len(listed) > 1 else int(share_of("clip", kind) < 0.5)
        for number, file in enumerate(listed):
            found.append(Clip(file=file, kind=kind, part="tune" if number < tuned else "report"))
    return tuple(found)


def _kind(file: Path) -> str:
    return re.sub(r"[-_ ]?\d+$", "", file.stem)


def noise_folder(given: Path | None) -> Path | None:
    """The folder of the option, else of KITCHEND_SOUNDS."""
    named = os.environ.get("KITCHEND_SOUNDS")
    return given or (Path(named) if named else None)


def mixed(speech: Samples, clip: Clip | None, ratio_db: float | None, seed: object) -> Samples:
    """Speech with quiet around it, and this clip at this ratio from a place in it that the seed chooses."""
    around = np.zeros(int(AROUND_S * SAMPLE_RATE), np.float32)
    sound = np.concatenate([around, speech, around])
    if clip is not None and ratio_db is not None:
        rest = stretch(clip, len(sound), seed)
        loud = speech[np.abs(speech) > LOUD]
        gain = np.sqrt(np.mean(loud**2) / max(float(np.mean(rest**2)), 1e-12) / 10 ** (ratio_db / 10))
        sound = sound + np.float32(gain) * rest
    loudest = float(np.max(np.abs(sound)))
    return (sound * min(1.0, PEAK / max(loudest, 1e-9))).astype(np.float32)


def stretch(clip: Clip, length: int, seed: object) -> Samples:
    """So much of a clip, again and again if it is too short."""
    noise = read_wav(clip.file)
    start = int(share_of("start", clip.file.name, seed) * len(noise))
    return np.resize(np.roll(noise, -start), length).astype(np.float32)
