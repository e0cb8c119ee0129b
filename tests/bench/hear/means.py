"""What mean of the cepstra the first ear should begin a phrase with, and how much of the last one to keep.

    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.means --noise FOLDER

Hears phrases of the tuning part by the first ear alone, dinner by dinner: first going on from what was heard
last, as the engine does by itself, which gives the mean; then keeping less and less of it.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import fmean

from kitchend.core.intents import understand
from kitchend.hearing.denoise import DeepFilter, Denoised
from kitchend.hearing.listener import SoundListener
from kitchend.hearing.pocketsphinx_ear import MEAN, PocketSphinxEar
from kitchend.hearing.silero import Silero
from kitchend.service.wall_clock import running_s
from tests.bench.hear.kitchen import sayable_of, state_of
from tests.bench.hear.noise import clips, noise_folder
from tests.bench.hear.trials import Trial, trials


def heard(
    listed: Sequence[Trial], cache: Path, mean: Sequence[float], kept: float
) -> Iterator[tuple[bool, tuple[float, ...]]]:
    """Of each whether it was understood, and the mean the engine came to."""
    ear = PocketSphinxEar(mean, kept)
    first = Denoised(ear, DeepFilter())
    listener = SoundListener(first=first, second=None, chance=Silero(), seconds=running_s)
    for trial in listed:
        state = state_of(trial.phrase.scene)
        listener.listen_for(sayable_of(trial.phrase.scene, not trial.phrase.is_addressed))
        text = " ".join(one.text for one in listener.hear_all(trial.sound(cache)))
        right = understand(text, state).command == understand(trial.phrase.text, state).command
        yield right, ear.mean
    listener.close()


def main() -> None:
    """Print both, and the mean."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--noise", type=Path)
    parser.add_argument("--cache", type=Path, default=Path.home() / ".cache" / "kitchend" / "bench")
    parser.add_argument("--phrases", type=int, default=60)
    wish = parser.parse_args()
    listed = list(trials("tune", clips(noise_folder(wish.noise)), wish.phrases, (None, 10.0, 5.0)))
    going_on = list(heard(listed, wish.cache, MEAN, 1.0))
    mean = tuple(round(fmean(column), 2) for column in zip(*(row for _, row in going_on), strict=True))
    print(f"the mean: {mean}\nall of the last one kept:", shares(listed, going_on))
    for kept in (0.8, 0.5, 0.0):
        print(f"{kept} of it:", shares(listed, list(heard(listed, wish.cache, mean, kept))), flush=True)


def shares(listed: Sequence[Trial], found: Sequence[tuple[bool, object]]) -> str:
    """How many were understood, by noise ratio."""
    of = Counter(trial.ratio_db for trial in listed)
    right = Counter(trial.ratio_db for trial, (is_right, _) in zip(listed, found, strict=True) if is_right)
    names = {None: "clean"} | {ratio: f"{ratio:g} dB" for ratio in of if ratio is not None}
    return ", ".join(f"{names[ratio]} {right[ratio]} of {of[ratio]}" for ratio in of)


if __name__ == "__main__":
    main()
