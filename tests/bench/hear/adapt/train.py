"""Teaches the second ear kitchens; writes `kitchend/hearing/adaptation.npz`. An hour on two cores.

    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.adapt.train --noise FOLDER

Needs jax and optax, which nothing else does (`pip install jax optax`; both Apache-2.0), and for synthetic
people what `tests/bench/hear/people.py` says. Additions are low-rank (see `kitchend/hearing/adapting.py`),
to the encoder alone: what is likely to be said stays as it was. Trained by AdamW on what was said, batch by
batch; what strangers gain is told now and then, and stopped early it writes what it has. The file that is
shipped went on twice from one learned before: `--lessons 1560 --steps 650 --rate 7e-4 --start BEFORE`, then
`--lessons 2600 --steps 620 --rate 6e-4 --seed 5 --halfway --start BEFORE`.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import jax
import numpy as np
import optax
from tokenizers import Tokenizer

from kitchend.hearing.adapting import ADAPTATION
from kitchend.hearing.mel import HOP, log_mel
from kitchend.hearing.ports import Samples
from kitchend.hearing.weights import whisper_folder
from tests.bench.hear.adapt.lessons import Heard, lessons
from tests.bench.hear.adapt.model import beginning, losses, weights
from tests.bench.hear.adapt.throats import stranger
from tests.bench.hear.noise import clips, noise_folder

RANK, BATCH, TOKENS = 16, 8, 28
RATE, WARM, SHRINK = 1e-3, 15, 1e-3
HELD_BACK, HELD_BACK_EVERY = 6, 50
SHORT, LONG, SHORT_SHARE = 400, 600, 0.65
"""Frames of 10 ms that a batch is filled up to, and how many batches are short."""
_PROMPT = ("<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|notimestamps|>")


class Batches:
    """Lessons heard, several at a time, with their tokens."""

    def __init__(self, heard: Heard, tokens: Any, seed: int) -> None:
        self._heard = heard
        self._tokens = tokens
        self._prompt = [tokens.token_to_id(token) for token in _PROMPT]
        self._end = tokens.token_to_id("<|endoftext|>")
        self._chance = np.random.default_rng(seed)

    def one(self) -> tuple[Any, Any, Any]:
        """Mel bands, tokens and which of them count."""
        frames = SHORT if self._chance.random() < SHORT_SHARE else LONG
        kept: list[tuple[str, Samples]] = []
        while len(kept) < BATCH:
            text, sound = self._heard.one()
            fits = len(sound) <= frames * HOP
            if fits and (frames == SHORT or len(sound) > 250 * HOP or self._chance.random() < 0.3):
                kept.append((text, sound))
        return self.of(kept, frames)

    def of(self, kept: Sequence[tuple[str, Samples]], frames: int) -> tuple[Any, Any, Any]:
        """These."""
        mel = np.stack([log_mel(np.pad(sound, (0, frames * HOP - len(sound)))) for _, sound in kept])
        ids = np.full((len(kept), TOKENS), self._end)
        counts = np.zeros((len(kept), TOKENS), np.float32)
        for row, (text, _) in enumerate(kept):
            line = [*self._prompt, *self._tokens.encode(text, add_special_tokens=False).ids, self._end][
                :TOKENS
            ]
            ids[row, : len(line)] = line
            counts[row, len(self._prompt) : len(line)] = 1
        return mel, ids, counts


def trained(
    model: Any,
    added: Any,
    batches: Batches,
    held_back: Sequence[tuple[Any, Any, Any]],
    steps: int,
    fastest: float,
    write: Callable[[Any], None],
) -> None:
    """Learns from so many batches, or until a person stops it; tells what strangers gain, and writes."""
    rate = optax.join_schedules(
        [
            optax.linear_schedule(0, fastest, WARM),
            optax.cosine_decay_schedule(fastest, max(1, steps - WARM), 0.02),
        ],
        [WARM],
    )
    rule = optax.chain(optax.clip_by_global_norm(1.0), optax.adamw(rate, b2=0.98, weight_decay=SHRINK))

    def loss(added: Any, model: Any, mel: Any, ids: Any, counts: Any) -> Any:
        return losses(added, model, mel, ids, counts).sum() / counts[:, 1:].sum()

    @jax.jit  # type: ignore[untyped-decorator]
    def step(added: Any, state: Any, model: Any, mel: Any, ids: Any, counts: Any) -> Any:
        value, slope = jax.value_and_grad(loss)(added, model, mel, ids, counts)
        change, state = rule.update(slope, state, added)
        return optax.apply_updates(added, change), state, value

    wrong = jax.jit(loss)
    state = rule.init(added)
    lately: list[float] = []
    try:
        for number in range(steps):
            added, state, value = step(added, state, model, *batches.one())
            lately = [*lately[-29:], float(value)]
            if number % 10 == 9:
                print(f"{number + 1} of {steps}: {np.mean(lately):.3f}", flush=True)
            if number % HELD_BACK_EVERY == 0 or number == steps - 1:
                lost = np.mean([float(wrong(added, model, *batch)) for batch in held_back])
                print(f"after {number + 1}, strangers: {lost:.3f}", flush=True)
                write(added)
    except KeyboardInterrupt:
        print("stopped")
        write(added)


def main() -> None:
    """Learn and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--noise", type=Path)
    parser.add_argument("--cache", type=Path, default=Path.home() / ".cache" / "kitchend" / "bench")
    parser.add_argument("--lessons", type=int, default=2400)
    parser.add_argument("--steps", type=int, default=240)
    parser.add_argument("--rate", type=float, default=RATE)
    parser.add_argument("--seed", type=int, default=0, help="in which rooms and noises they are heard")
    parser.add_argument("--start", type=Path, help="go on from additions learned before")
    parser.add_argument(
        "--halfway", action="store_true", help="write the middle of START and what was learned"
    )
    parser.add_argument("--out", type=Path, default=ADAPTATION)
    wish = parser.parse_args()
    plain = whisper_folder(language="")  # no language's: as it came
    noises = [clip for clip in clips(noise_folder(wish.noise)) if clip.part == "tune"]
    tokens = Tokenizer.from_file(str(plain / "tokenizer.json"))
    batches = Batches(Heard(lessons(wish.lessons, wish.cache), noises, wish.seed), tokens, wish.seed)
    by_strangers = Heard(lessons(64, wish.cache, seed=2, who=stranger), noises, seed=1)
    held_back = [Batches(by_strangers, tokens, seed=1).one() for _ in range(HELD_BACK)]
    model = {name: jax.numpy.asarray(value) for name, value in weights(plain / "model.bin").items()}
    added: Any = beginning(model, RANK)
    if wish.start is not None:
        with np.load(wish.start) as learned:
            added = {name: jax.numpy.asarray(learned[name].astype(np.float32)) for name in added}

    start = added

    def write(added: Any) -> None:
        middle = {name: (start[name] + value) / 2 if wish.halfway else value for name, value in added.items()}
        kept: Any = {name: np.asarray(value).astype(np.float16) for name, value in middle.items()}
        np.savez_compressed(wish.out, **kept)

    trained(model, added, batches, held_back, wish.steps, wish.rate, write)


if __name__ == "__main__":
    main()
