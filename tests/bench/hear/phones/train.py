"""Teaches the phone net which phones sound when; writes `kitchend/hearing/phones-en.npz`.

    PYTHONPATH=. .venv/bin/python -m tests.bench.hear.phones.train --noise FOLDER

Needs jax and optax, which little else does (`pip install jax optax`; both Apache-2.0), and for synthetic
people what `tests/bench/hear/people.py` says. What it learns from are the second ear's lessons
(`adapt/lessons.py`), in the same rooms and noises to tune on; two of the voices to tune on, awb and kal, are
left out, so that the rule is fitted to voices that the net does not know. By connectionist temporal
classification and AdamW, with a running mean of the last 200 steps written.

The file that is shipped learned so, from some 5600 lessons (`--seed 41`) that were still being made while it
began, in 3000 stretches of noise and for as long as 95 minutes allowed: 13,339 batches.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import time
from pathlib import Path
from typing import Any

import jax
import numpy as np
import optax

from kitchend.hearing.phone_net import NUMBERS
from kitchend.hearing.pronouncing import english
from tests.bench.hear import people
from tests.bench.hear.adapt import throats
from tests.bench.hear.adapt.lessons import Lesson, brief, lessons
from tests.bench.hear.noise import clips, noise_folder
from tests.bench.hear.phones.heard import Batch, Kitchens, said
from tests.bench.hear.phones.model import beginning, scores
from tests.bench.hear.voices import Speaker

RATE, WARM, SHRINK, RUNNING = 2e-3, 200, 1e-2, 0.995
STRANGERS = ("awb", "kal_diphone")
PEOPLE, MIXED = 0.65, 0.6
"""Shares of lessons by synthetic people, and of these by two of them mixed."""
THROATS = (0.86, 0.89, 0.92, 0.95, 0.98, 1.0, 1.03, 1.06, 1.1, 1.14, 1.18)
WAITING = 24
TOLD_EVERY = 50


def known(chance: random.Random) -> Speaker:
    """Anybody the net learns from: foreigners among them, who say it with an English speaker's phones."""
    names = [name for name in people.names() if name not in throats.STRANGERS] if people.are_there() else []
    if names and chance.random() < PEOPLE:
        first, second = chance.sample(names, 2)
        voice = f"{first} {second} {chance.choice((0.3, 0.5))}" if chance.random() < MIXED else first
        throat = chance.choice(THROATS)
        return Speaker(name=f"{voice} {throat}", engine="kokoro", voice=voice, throat=throat, part="tune")
    while (one := throats.somebody(chance)).engine == "kokoro" or one.voice in STRANGERS:
        pass
    return one


def learned_from(wish: argparse.Namespace) -> tuple[Lesson, ...]:
    """All lessons."""
    return (
        *lessons(wish.lessons, wish.cache, wish.seed, known, has_rivals=False),
        *brief(wish.brief, wish.cache, 10 + wish.seed, known, has_rivals=False),
    )


def _fill(queue: Any, wish: argparse.Namespace) -> None:
    everything = learned_from(wish)
    noises = [clip for clip in clips(noise_folder(wish.noise)) if clip.part == "tune"]
    kitchens = Kitchens(everything, noises, wish.seed)
    for batch in kitchens.batches(said(everything, english())):
        queue.put(batch)


def trained(net: Any, queue: Any, wish: argparse.Namespace) -> Any:
    """Learns from so many batches; the running mean of what it was."""
    rate = optax.join_schedules(
        [
            optax.linear_schedule(0, wish.rate, WARM),
            optax.cosine_decay_schedule(wish.rate, max(1, wish.steps - WARM), 0.02),
        ],
        [WARM],
    )
    rule = optax.chain(optax.clip_by_global_norm(1.0), optax.adamw(rate, b2=0.98, weight_decay=SHRINK))

    def loss(net: Any, batch: tuple[Any, ...]) -> Any:
        bands, is_filling, phones, is_none = batch
        lost = optax.ctc_loss(scores(net, bands), is_filling, phones, is_none)
        return (lost / (1 - is_none).sum(-1)).mean()

    @jax.jit  # type: ignore[untyped-decorator]
    def step(net: Any, state: Any, running: Any, batch: tuple[Any, ...]) -> Any:
        lost, slope = jax.value_and_grad(loss)(net, batch)
        change, state = rule.update(slope, state, net)
        net = optax.apply_updates(net, change)
        running = jax.tree.map(lambda old, new: RUNNING * old + (1 - RUNNING) * new, running, net)
        return net, state, running, lost

    state, running = rule.init(net), net
    lately: list[float] = []
    began = time.monotonic()
    for number in range(1, wish.steps + 1):
        batch: Batch = queue.get()
        arrays = batch.bands, batch.is_filling, batch.phones, batch.is_none
        net, state, running, lost = step(net, state, running, arrays)
        lately = [*lately[1 - TOLD_EVERY :], float(lost)]
        if number % TOLD_EVERY == 0:
            took_s = time.monotonic() - began
            print(f"{number} of {wish.steps}: {np.mean(lately):.3f}, {took_s:.0f} s", flush=True)
    return running


def main() -> None:
    """Learn and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--noise", type=Path)
    parser.add_argument("--cache", type=Path, default=Path.home() / ".cache" / "kitchend" / "bench")
    parser.add_argument("--lessons", type=int, default=5200)
    parser.add_argument("--brief", type=int, default=1800, help="lessons of a word or two")
    parser.add_argument("--steps", type=int, default=13_300)
    parser.add_argument("--rate", type=float, default=RATE, help="of learning, at its highest")
    parser.add_argument("--seed", type=int, default=1, help="in which rooms and noises they are heard")
    parser.add_argument("--start", type=Path, help="go on from a net that learned before")
    parser.add_argument("--out", type=Path, default=NUMBERS)
    wish = parser.parse_args()
    net = beginning()
    if wish.start is not None:
        with np.load(wish.start) as kept:
            net = {name: jax.numpy.asarray(kept[name], jax.numpy.float32) for name in kept.files}
    context = multiprocessing.get_context("spawn")
    queue: Any = context.Queue(WAITING)
    context.Process(target=_fill, args=(queue, wish), daemon=True).start()
    found = trained(net, queue, wish)
    half: Any = {name: np.asarray(value, np.float16) for name, value in found.items()}
    np.savez(wish.out, **half)


if __name__ == "__main__":
    main()
