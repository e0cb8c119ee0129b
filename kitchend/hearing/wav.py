"""WAV files as sound at 16 kHz, mono: any rate, any number of channels, 8, 16, 24, 32 bit or float.

Whatever is not such a file is refused with one line that says which file and why. Nothing here listens.
"""

import struct
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from kitchend.errors import KitchendError
from kitchend.hearing.ports import SAMPLE_RATE, Samples

_EXTENSIBLE = 0xFFFE
LONGEST_BYTES = 400_000_000


class RecordingError(KitchendError):
    """A file that cannot be heard. `file` names it, `problem` says why, `hint` how to mend it."""

    def __init__(self, file: str, problem: str, hint: str) -> None:
        self.file = file
        self.problem = problem
        self.hint = hint
        super().__init__(f"{file}: {problem} ({hint})")


_HINT = "record it again as a WAV file, 16 kHz mono is best"


def read_wav(path: Path) -> Samples:
    """The file as float32[n] at 16 kHz, mono; raises RecordingError."""
    try:
        if path.is_dir():
            raise RecordingError(str(path), "is a folder", "name a WAV file in it")
        if path.stat().st_size > LONGEST_BYTES:
            raise RecordingError(str(path), "is larger than 400 MB", "cut it into shorter recordings")
        data = path.read_bytes()
    except OSError as error:
        raise RecordingError(str(path), f"cannot be read: {error.strerror}", "check its name") from None
    try:
        rate, channels, frames = _decoded(data)
    except (ValueError, struct.error) as error:
        raise RecordingError(str(path), f"is no WAV file that can be heard: {error}", _HINT) from None
    mono = frames.reshape(-1, channels).mean(axis=1, dtype=np.float32)
    return resampled(mono, rate)


def resampled(mono: NDArray[np.float32], rate: int) -> Samples:
    """float32[n] at `rate` Hz as float32[m] at 16 kHz."""
    if rate == SAMPLE_RATE or not len(mono):
        return np.ascontiguousarray(mono, np.float32)
    import soxr

    return np.asarray(soxr.resample(mono, rate, SAMPLE_RATE), np.float32)


def _decoded(data: bytes) -> tuple[int, int, NDArray[np.float32]]:
    if data[:4] != b"RIFF" or data[8:12] != b"WAVE":
        raise ValueError("it does not begin with RIFF and WAVE")
    shape, at = None, 12
    while at + 8 <= len(data):
        name, size = data[at : at + 4], struct.unpack_from("<I", data, at + 4)[0]
        body = data[at + 8 : at + 8 + size]
        if name == b"fmt ":
            shape = _shape(body)
        elif name == b"data":
            if shape is None:
                raise ValueError("its sound comes before its format")
            kind, channels, rate, bits = shape
            return rate, channels, _floats(body, kind, bits, channels)
        at += 8 + size + size % 2
    raise ValueError("it holds no sound")


def _shape(body: bytes) -> tuple[int, int, int, int]:
    if len(body) < 16:
        raise ValueError("its format is cut off")
    kind, channels, rate, _, _, bits = struct.unpack_from("<HHIIHH", body)
    if kind == _EXTENSIBLE and len(body) >= 26:
        kind = struct.unpack_from("<H", body, 24)[0]
    if not 1 <= channels <= 64:
        raise ValueError(f"it has {channels} channels")
    if not 1000 <= rate <= 768_000:
        raise ValueError(f"its rate is {rate} Hz")
    return kind, channels, rate, bits


def _floats(body: bytes, kind: int, bits: int, channels: int) -> NDArray[np.float32]:
    width = bits // 8 * channels
    if width == 0:
        raise ValueError(f"it has {bits} bits a sample")
    whole = body[: len(body) // width * width]
    match kind, bits:
        case (1, 8):
            return (np.frombuffer(whole, np.uint8).astype(np.float32) - np.float32(128)) / np.float32(128)
        case (1, 16):
            return np.frombuffer(whole, "<i2").astype(np.float32) / np.float32(2**15)
        case (1, 24):
            wide = np.zeros((len(whole) // 3, 4), np.uint8)
            wide[:, 1:] = np.frombuffer(whole, np.uint8).reshape(-1, 3)
            return (wide.view("<i4").reshape(-1).astype(np.float64) / 2**31).astype(np.float32)
        case (1, 32):
            return (np.frombuffer(whole, "<i4").astype(np.float64) / 2**31).astype(np.float32)
        case (3, 32 | 64):
            floats = np.frombuffer(whole, f"<f{bits // 8}").astype(np.float32)
            return np.clip(np.nan_to_num(floats), -1.0, 1.0)
        case _:
            raise ValueError(f"its format is {kind} with {bits} bits, PCM or float is needed")
