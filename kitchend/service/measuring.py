"""Measures what each part of the ears costs on this machine and prints it as JSON: see `means`.

Run as `python -m kitchend.service.measuring LANGUAGE [VOSK_MODEL] [WHISPER_FOLDER]`, in a process of its own,
so that nothing of it stays in the memory of the one that listens, and an engine that the processor cannot run
takes nothing else down. A part that is not there is left out.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict
from functools import cached_property
from pathlib import Path

import numpy as np

from kitchend.core.grammar import Either, Row, Word
from kitchend.core.network import Network, network_of
from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, FirstEar, Samples
from kitchend.service.means import Cost
from kitchend.service.wall_clock import processor_s

HEARD_S = 2.0
"""About as long as a command."""

Work = Callable[[], object]


class Commands:
    """A Sayable of some hundred commands: as many as a second ear compares a phrase with, and more."""

    def __init__(self) -> None:
        things, actions = ("rice", "beans", "greens", "bread", "soup"), ("start", "stop", "hold", "drop")
        self._texts = tuple(
            f"{action} the {thing} in {number} minutes"
            for action in actions
            for thing in things
            for number in ("five", "nine", "ten", "twelve", "twenty")
        )

    def jsgf(self) -> str:
        """All of them as one rule."""
        return f"#JSGF V1.0;\ngrammar trial;\npublic <command> = {' | '.join(self._texts)};\n"

    def candidates(self) -> tuple[str, ...]:
        """All of them."""
        return self._texts

    def words(self) -> frozenset[str]:
        """Of all of them."""
        return frozenset(" ".join(self._texts).split())

    def phrases(self) -> tuple[str, ...]:
        """All of them."""
        return self._texts

    def accepts(self, text: str) -> bool:
        """Whether it is one."""
        return text in self._texts


class CommandsInANetwork(Commands):
    """The same with a network of their words."""

    @cached_property
    def _network(self) -> Network:
        texts = Either(tuple(Row(tuple(map(Word, text.split()))) for text in self.phrases()))
        return network_of([(1.0, texts)], {})

    def network(self) -> Network:
        """All of them."""
        return self._network

    def usual_network(self) -> Network:
        """All of them."""
        return self._network


def speechlike() -> Samples:
    """float32[n] at 16 kHz: a buzz of 120 Hz that comes and goes four times a second, in some noise."""
    at_s = np.arange(int(HEARD_S * SAMPLE_RATE)) / SAMPLE_RATE
    buzz = sum(np.sin(2 * np.pi * 120 * k * at_s) / k for k in range(1, 25))
    noise = np.random.default_rng(0).normal(0.0, 0.01, len(at_s))
    sound: Samples = (0.1 * buzz * (0.5 - 0.5 * np.cos(2 * np.pi * 4 * at_s)) + noise).astype(np.float32)
    return sound


def resident_mb() -> float:
    """What this process holds in memory now."""
    pages = int(Path("/proc/self/statm").read_text("utf-8").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


class Loaded:
    """Parts that stay loaded, so that what each holds is its own."""

    def __init__(self) -> None:
        self._work: list[Work] = []

    def cost_of(self, make: Callable[[], Work]) -> Cost:
        """Of a part that `make` loads: what it holds, and what its work takes the second time."""
        before_mb = resident_mb()
        work = make()
        self._work.append(work)
        work()
        began_s = processor_s()
        work()
        took_s = processor_s() - began_s
        return Cost(core_s=took_s / HEARD_S, memory_mb=max(0.0, resident_mb() - before_mb))


def costs(language: str, vosk_model: Path | None, whisper: Path | None) -> Iterator[tuple[str, Cost]]:
    """Each part there is, by its name in `means.Costs`. Vosk hears without a denoiser."""
    from kitchend.hearing.vosk_ear import find_model

    try:
        model = find_model(vosk_model, language=language)
    except DeviceError:  # whoever listens says what is wrong with it
        return
    parts: dict[str, Callable[[], Work]] = {"first": lambda: _first(model)}
    if model is None:
        parts["phones"] = _phones
        parts["denoiser"] = _denoiser
    parts["second"] = lambda: _second(whisper, language)
    loaded = Loaded()
    for name, make in parts.items():
        with suppress(DeviceError):
            yield name, loaded.cost_of(make)


def _first(model: Path | None) -> Work:
    from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
    from kitchend.hearing.vosk_ear import VoskEar

    sound = speechlike()
    ear: FirstEar = PocketSphinxEar() if model is None else VoskEar(model)
    ear.listen_for(Commands())
    return lambda: (ear.feed(sound), ear.finish())


def _phones() -> Work:
    from kitchend.hearing.phone_ear import PhoneEar

    sound, commands, ear = speechlike(), CommandsInANetwork(), PhoneEar()
    return lambda: ear.judge(sound, commands, ())


def _denoiser() -> Work:
    from kitchend.hearing.denoise import DeepFilter

    sound, denoiser = speechlike(), DeepFilter()
    return lambda: denoiser.clean(sound)


def _second(whisper: Path | None, language: str) -> Work:
    """Whisper as it is asked where the phone ear, a part of its own, is not sure."""
    from kitchend.hearing.weights import whisper_folder
    from kitchend.hearing.whisper_ear import WhisperEar

    sound, commands = speechlike(), Commands()
    ear = WhisperEar(whisper_folder(whisper, language=language), language=language)
    return lambda: ear.judge(sound, commands, ())


@contextmanager
def _standard_output_kept() -> Iterator[int]:
    """A copy of standard output; what engines print goes to standard error meanwhile."""
    out = os.dup(1)
    os.dup2(2, 1)
    try:
        yield out
    finally:
        os.close(out)


def main(arguments: list[str]) -> None:
    """Print the costs."""
    language, *places = arguments
    vosk_model, whisper = (Path(place) if place else None for place in (*places, "", "")[:2])
    with _standard_output_kept() as out:
        found = {name: asdict(one) for name, one in costs(language, vosk_model, whisper)}
        os.write(out, json.dumps(found).encode())


if __name__ == "__main__":
    main(sys.argv[1:])
