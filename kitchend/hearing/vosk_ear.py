"""A first ear for machines that have a Vosk model: a phrase-list grammar, with partial and final results.

A model is a folder; the cook names one, or the first of the language in Vosk's own folders is used, or else
an installed package. Words its vocabulary lacks are heard in pieces that it holds (`pieces`), or not at all:
phrases that need them are left out, and they are reported by name. What is heard outside the grammar stays in
a reading as [unk], so that no part of other talk passes for a command; so does, where this ear is alone, a
word the engine is not sure of.
"""

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

from kitchend.errors import DeviceError
from kitchend.hearing.pieces import Pieces, known_pieces, put_together
from kitchend.hearing.ports import SAMPLE_RATE, Proposal, Samples, Sayable

UNKNOWN = "[unk]"
SURE = 0.5
"""A word of less confidence than this is none. Of 14 Korean commands heard right (espeak-ng in three
shapes) 13 had no word below 0.74, and one a word of 0.27; a wrong one had 0.61."""

_UNKNOWN_IN_MODELS = (UNKNOWN, "<UNK>")
"""How models write it; one or the other is in the vocabulary."""

HOW_TO_GET = (
    "download a model such as vosk-model-small-en-us-0.15 from alphacephei.com/vosk/models, unpack it into "
    "~/.cache/vosk or set vosk_model to its folder"
)
_PARTS = (("am/final.mdl", "final.mdl"), ("graph", "HCLr.fst", "HCLG.fst"), ("conf/mfcc.conf", "mfcc.conf"))


def find_model(
    configured: Path | None = None, environment: Mapping[str, str] | None = None, language: str = "en"
) -> Path | None:
    """The folder of the model to use, None where there is none; DeviceError if the named one is no model."""
    if configured is not None:
        return checked(configured)
    env = os.environ if environment is None else environment
    named = env.get("VOSK_MODEL_PATH")
    homes = [Path(named)] if named else []
    homes += [Path("/usr/share/vosk"), Path(env.get("HOME") or "/") / ".cache" / "vosk"]
    models = f"vosk-model*-{language}*"
    found = (path for home in homes if home.is_dir() for path in sorted(home.glob(models)))
    usable = (path for path in (*found, *_packaged(language)) if path.is_dir() and not _missing(path))
    return next(usable, None)


def _packaged(language: str) -> Iterator[Path]:
    """The model of a language that is installed as a Python package."""
    spec = find_spec(f"vosk_model_{language}")
    for place in (spec.submodule_search_locations or ()) if spec is not None else ():
        yield Path(place) / "model"


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
        self._sure: list[str] = []
        self._kept: dict[str, Pieces | None] = {}
        self._words: dict[Pieces, str] = {}
        self._unknown = next(filter(self._is_known, _UNKNOWN_IN_MODELS), "")

    def _is_known(self, word: str) -> bool:
        return int(self._model.vosk_model_find_word(word)) >= 0

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Words the model's vocabulary has neither whole nor in pieces, in order; they cannot be heard."""
        wanted = sorted(set(words))
        known = known_pieces(wanted, self._is_known, self._kept)
        return tuple(word for word in wanted if word not in known)

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; a phrase in progress is abandoned."""
        self._said, self._sure = [], []
        if sayable is self._sayable and self._recogniser is not None:
            self._recogniser.Reset()
            return
        phrases = tuple(sayable.phrases())
        words = sorted({word for phrase in phrases for word in phrase.split()})
        pieces = known_pieces(words, self._is_known, self._kept)
        self._words = {found: word for word, found in pieces.items() if len(found) > 1}
        known = [
            " ".join(piece for word in phrase.split() for piece in pieces[word])
            for phrase in phrases
            if pieces.keys() >= set(phrase.split())
        ]
        known += [self._unknown] if self._unknown else []
        grammar = json.dumps(known, ensure_ascii=False)
        self._recogniser = self._recogniser_of(self._model, SAMPLE_RATE, grammar)
        self._recogniser.SetWords(True)
        self._sayable = sayable

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase; returns what is heard so far."""
        if self._recogniser is None:
            return ""
        pcm = (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2").tobytes()
        if self._recogniser.AcceptWaveform(pcm):
            self._keep(self._recogniser.Result())
        heard = [*self._said, *_words(self._recogniser.PartialResult(), "partial")]
        return " ".join(self._whole(heard))

    def finish(self) -> Proposal:
        """End the phrase: its final result."""
        if self._recogniser is None:
            return Proposal(readings=())
        self._keep(self._recogniser.FinalResult())
        text, surely = (" ".join(self._whole(said)) for said in (self._said, self._sure))
        self._said, self._sure = [], []
        self._recogniser.Reset()
        return Proposal(readings=(text,), surely=surely) if text else Proposal(readings=())

    def _whole(self, heard: list[str]) -> list[str]:
        """Whole words, and [unk] for what the model calls it."""
        return [UNKNOWN if word == self._unknown else word for word in put_together(heard, self._words)]

    def _keep(self, result: str) -> None:
        self._said += _words(result, "text")
        self._sure += sure_words(result)


def sure_words(result: str) -> list[str]:
    """The words of a final result, as Vosk writes it, [unk] in place of those it is not sure of."""
    words = json.loads(result).get("result", ())
    return [str(one["word"]) if one["conf"] >= SURE else UNKNOWN for one in words]


def _words(result: str, key: str) -> list[str]:
    return str(json.loads(result).get(key, "")).split()
