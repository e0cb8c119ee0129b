"""How softly a microphone may hear: speech detection, and the ears, at several levels, with and without gain.

    python -m tests.bench.hear.levels --noise FOLDER [--phrases N] [--ears both]

The same phrases of the part to tune on, clean and at 10 dB, in 16 bits, with speech at so many dB of full
scale; then noise alone as such microphones hear it. Nothing is asserted.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np

from kitchend.hearing import Ears, build, gain
from kitchend.hearing.detect import CHUNK, CHUNK_S, Chunker, Detector, Mark
from kitchend.hearing.gain import Gained
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.silero import Silero
from kitchend.service.wall_clock import running_s
from tests.bench.hear.kitchen import NOW, sayable_of, state_of
from tests.bench.hear.noise import AROUND_S, Clip, clips, noise_folder, stretch
from tests.bench.hear.outcomes import outcome
from tests.bench.hear.trials import Trial, trials

USUAL_DB = -28.0
LEVELS_DB = (-16.0, USUAL_DB, -48.0, -59.0, -68.0)
RATIOS_DB = (None, 10.0)
NOISE_MIN = 6.0
LATE_S = 0.15
"""So much of a beginning may be cut off: it is less than a sound of speech."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A stretch in which speech was detected, seconds."""

    from_s: float
    to_s: float


def main() -> None:
    """Measure and print."""
    wish = _wish()
    noises = clips(noise_folder(wish.noise))
    chosen = list(trials("tune", noises, wish.phrases, RATIOS_DB))
    for name, most_db in (("without gain", 0.0), ("with gain", gain.MOST_DB)):
        with gain_up_to(most_db):
            print(f"\n{name}: whole / beginning cut off / in pieces / not seen", flush=True)
            for level in LEVELS_DB:
                minutes, opened = _openings(noises, level)
                noise = f"noise alone: {opened} openings in {minutes:.0f} min"
                print(f"{level:6g} dB  {_detected(chosen, level, wish.cache)}  {noise}", flush=True)
            for level in LEVELS_DB if wish.ears else ():
                print(f"{level:6g} dB  {_understood(chosen, level, wish.cache, wish.ears)}", flush=True)


def _wish() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--phrases", type=int, default=36)
    parser.add_argument("--noise", type=Path, help="folder of WAV files (or KITCHEND_SOUNDS)")
    parser.add_argument("--ears", choices=("first", "second", "both"))
    parser.add_argument("--cache", type=Path, default=Path.home() / ".cache" / "kitchend" / "bench")
    return parser.parse_args()


def at_level(sound: Samples, level_db: float) -> Samples:
    """What is spoken at the usual level as a microphone hears it that gives this one, in 16 bits."""
    softer = np.asarray(sound, np.float64) * 10 ** ((level_db - USUAL_DB) / 20)
    return np.asarray(np.clip(np.round(softer * 2**15), -(2**15), 2**15 - 1) / 2**15, np.float32)


@contextmanager
def gain_up_to(most_db: float) -> Iterator[None]:
    """With so much gain at most; 0 dB: none at all."""
    with patch.object(gain, "MOST_DB", most_db):
        yield


def seen(sound: Samples) -> Iterator[Seen]:
    """Where speech is detected in a recording, by the detector of the live chain."""
    detector, from_s = Detector(Gained(Silero())), 0.0
    quiet = np.zeros(SAMPLE_RATE, np.float32)
    for number, chunk in enumerate(Chunker().cut(np.concatenate([sound, quiet])), start=1):
        mark = detector.hear(chunk)
        if mark is Mark.OPENED:
            from_s = number * CHUNK_S - len(detector.phrase) // CHUNK * CHUNK_S
        elif mark is Mark.ENDED:
            yield Seen(from_s=from_s, to_s=number * CHUNK_S - detector.silence_s)


def _detected(chosen: Sequence[Trial], level_db: float, cache: Path) -> str:
    counted: dict[str, Counter[str]] = {"clean": Counter(), "10 dB": Counter()}
    for trial in chosen:
        found = list(seen(at_level(trial.sound(cache), level_db)))
        is_late = found and found[0].from_s > AROUND_S + LATE_S
        came = "not seen" if not found else "pieces" if len(found) > 1 else "late" if is_late else "whole"
        counted["clean" if trial.ratio_db is None else "10 dB"][came] += 1
    names = ("whole", "late", "pieces", "not seen")
    return "".join(f"{ratio}: {' / '.join(str(row[n]) for n in names):<14}" for ratio, row in counted.items())


def _openings(noises: Sequence[Clip], level_db: float) -> tuple[float, int]:
    """Minutes of noise, 10 dB under speech at this level, and how often it passed for speech."""
    own = [clip for clip in noises if clip.part == "tune"]
    pieces = []
    for number in range(round(NOISE_MIN * 6) if own else 0):
        noise = stretch(own[number % len(own)], 10 * SAMPLE_RATE, number)
        loudness = 10 ** ((USUAL_DB - 10) / 20) / max(float(np.sqrt(np.mean(noise**2))), 1e-6)
        pieces.append(np.clip(noise * loudness, -1, 1))
    if not pieces:
        return 0.0, 0
    sound = at_level(np.concatenate(pieces).astype(np.float32), level_db)
    return len(sound) / SAMPLE_RATE / 60, len(list(seen(sound)))


def _understood(chosen: Sequence[Trial], level_db: float, cache: Path, ears: Ears) -> str:
    listener = build(ears=ears, seconds=running_s)
    counted: dict[str, Counter[str]] = {"clean": Counter(), "10 dB": Counter()}
    for trial in chosen:
        listener.listen_for(sayable_of(trial.phrase.scene, not trial.phrase.is_addressed))
        heard = listener.hear(at_level(trial.sound(cache), level_db))
        came = outcome(heard, trial.phrase, state_of(trial.phrase.scene), NOW)
        counted["clean" if trial.ratio_db is None else "10 dB"][came.value] += 1
    listener.close()
    return "; ".join(f"{ratio}: {dict(row)}" for ratio, row in counted.items())


if __name__ == "__main__":
    main()
