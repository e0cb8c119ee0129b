"""A first ear for machines that have a Vosk model: a phrase-list grammar, with partial and final results.

A model is a folder; the cook names one, or the first English one in Vosk's own folders is used. Words its
vocabulary lacks cannot be heard: phrases that need them are left out, and they are reported by name. What is
heard outside the grammar stays in a reading as [unk], so that no part of other talk passes for a command.
"""

import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, Proposal, Samples, Sayable

UNKNOWN = "[unk]"
HOW_TO_GET = (
    "download a model such as vosk-model-small-en-us-0.15 from alphacephei.com/vosk/models, unpack it into "
    "~/.cache/vosk or set vosk_model to its folder"
)
_PARTS = (("am/final.mdl", "final.mdl"), ("graph", "HCLr.fst", "HCLG.fst"), ("conf/mfcc.conf", "mfcc.conf"))


def find_model(configured: Path | None = None, environment: Mapping[str, str] | None = None) -> Path | None:
    """The folder of the model to use, None where there is none; DeviceError if the named one is no model."""
    if configured is not None:
        return checked(configured)
    env = os.environ if environment is None else environment
    named = env.get("VOSK_MODEL_PATH")
    homes = [Path(named)] if named else []
    homes += [Path("/usr/share/vosk"), Path(env.get("HOME") or "/") / ".cache" / "vosk"]
    found = (path for home in homes if home.is_dir() for path in sorted(home.glob("vosk-model*en*")))
    return next((path for path in found if path.is_dir() and not _missing(path)), None)


def checked(folder: Path) -> Path:
    """The folder if it holds a Vosk model; raises DeviceError with how to get one."""
    if not folder.is_dir():
        raise DeviceError("Vosk model", f"{folder} is no folder", HOW_TO_GET)
    if missing := _missing(folder):
        raise DeviceError("Vosk model", f"{folder} has no {missing}", HOW_TO_GET)
    return folder


def _missing(folder: Path) -> str | None:
    lacking = (names[0] for names in _PARTS if not any((folder / name).exists() for name in names))
    return next(lacking, None)


class VoskEar:
    """A FirstEar over the Vosk model in `folder`; raises DeviceError when there is none."""

    def __init__(self, folder: Path) -> None:
        import vosk

        vosk.SetLogLevel(-1)
        self._recogniser_of: Any = vosk.KaldiRecognizer
        self._model: Any = vosk.Model(str(checked(folder)))
        self._recogniser: Any = None
        self._sayable: Sayable | None = None
        self._said: list[str] = []

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Words outside the model's vocabulary, in order; they cannot be heard."""
        return tuple(sorted(word for word in set(words) if self._model.vosk_model_find_word(word) < 0))

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; a phrase in progress is abandoned."""
        self._said = []
        if sayable is self._sayable and self._recogniser is not None:
            self._recogniser.Reset()
            return
        phrases = tuple(sayable.phrases())
        unknown = frozenset(self.missing_words(word for phrase in phrases for word in phrase.split()))
        known = [phrase for phrase in phrases if unknown.isdisjoint(phrase.split())]
        known += [] if self.missing_words([UNKNOWN]) else [UNKNOWN]
        grammar = json.dumps(known, ensure_ascii=False)
        self._recogniser = self._recogniser_of(self._model, SAMPLE_RATE, grammar)
        self._sayable = sayable

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns what is heard so far."""
        if self._recogniser is None:
            return ""
        pcm = (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
        if self._recogniser.AcceptWaveform(pcm):
            self._keep(self._recogniser.Result())
        return " ".join([*self._said, *_words(self._recogniser.PartialResult(), "partial")])

    def finish(self) -> Proposal:
        """End the phrase: its final result."""
        if self._recogniser is None:
            return Proposal(readings=())
        self._keep(self._recogniser.FinalResult())
        text, self._said = " ".join(self._said), []
        self._recogniser.Reset()
        return Proposal(readings=(text,) if text else ())

    def _keep(self, result: str) -> None:
        self._said += _words(result, "text")


def _words(result: str, key: str) -> list[str]:
    return str(json.loads(result).get(key, "")).split()
