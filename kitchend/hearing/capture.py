"""Where sound comes from: the microphone at its own rate, or an array; both as blocks at 16 kHz, mono.

PortAudio's thread only copies blocks into a bounded queue; resampling happens where they are taken out. When
nobody takes them for long the oldest are dropped, so that what is heard is never older. A microphone that is
missing or vanishes is a DeviceError. Importing this loads no audio library.
"""

import importlib
from collections.abc import Iterator
from contextlib import contextmanager
from queue import Empty, Full, Queue
from threading import Event
from types import ModuleType
from typing import Any, Final

import numpy as np

from kitchend.errors import DeviceError, DeviceHeldError
from kitchend.hearing.ports import SAMPLE_RATE, Samples

BLOCK_S: Final = 0.032
WAITING: Final = 320
"""Blocks that may wait, some 10 s: the second ear's work on a phrase, on the slowest board."""
SILENT_S: Final = 3.0
"""A microphone that gives no block for this long has gone."""
HELD: Final = -9985
"""PortAudio's paDeviceUnavailable, see portaudio.h: the device is there and busy."""
_HINT = "check that it is plugged in, then try: kitchend soundcheck"
_FREE = "close that program, `fuser -v /dev/snd/*` names it"


class ArraySource:
    """Sound that is already there, in blocks; the in-memory source."""

    def __init__(self, samples: Samples, block: int = 512) -> None:
        self._samples = np.asarray(samples, np.float32)
        self._block = block
        self._closed = Event()
        self.received = 0

    def blocks(self) -> Iterator[Samples]:
        """Pieces of it in order."""
        for start in range(0, len(self._samples), self._block):
            if self._closed.is_set():
                return
            piece = self._samples[start : start + self._block]
            self.received += len(piece)
            yield piece

    def close(self) -> None:
        """Give no more."""
        self._closed.set()


class Microphone:
    """The microphone: `device` is a PortAudio name or index, None the default one."""

    def __init__(self, device: str | int | None = None) -> None:
        self._device = device
        self._queue: Queue[tuple[int, Samples]] = Queue(maxsize=WAITING)
        self._closed = Event()
        self._frames = 0
        self._rate = SAMPLE_RATE

    @property
    def received(self) -> int:
        """Samples at 16 kHz that the device has given by now."""
        return self._frames * SAMPLE_RATE // self._rate

    def blocks(self) -> Iterator[Samples]:
        """Pieces of sound as they come, until `close`; raises DeviceError."""
        with self._running() as stream:
            self._rate = round(stream.samplerate)
            resample = _resampler(round(stream.samplerate))
            silent_s, expected = 0.0, 0
            while not self._closed.is_set():
                try:
                    start, block = self._queue.get(timeout=0.25)
                except Empty:
                    silent_s += 0.25
                    if silent_s >= SILENT_S or not stream.active:
                        raise DeviceError("microphone", "it gives no sound any more", _HINT) from None
                    continue
                silent_s = 0.0
                # Silence stands in for what was dropped, so that whoever counts samples still counts right.
                for whole in (*_gap(start - expected, len(block)), block):
                    if len(piece := resample(whole)):
                        yield piece
                expected = start + len(block)

    def close(self) -> None:
        """Stop; `blocks` ends within a quarter of a second."""
        self._closed.set()

    @contextmanager
    def _running(self) -> Iterator[Any]:
        """A stream that runs, until left."""
        stream = None
        try:
            try:
                stream = self._stream()
                stream.start()
            except _errors() as error:
                raise _trouble(error) from None
            yield stream
        finally:
            if stream is not None:
                # Not `stop`: it waits for sound, and a microphone that hangs never gives any.
                stream.abort(ignore_errors=True)
                stream.close(ignore_errors=True)

    def _stream(self) -> Any:
        sounddevice = _sounddevice()
        about = sounddevice.query_devices(self._device, kind="input")
        rate = about["default_samplerate"]
        return sounddevice.InputStream(
            device=self._device,
            samplerate=rate,
            channels=1,
            dtype="float32",
            blocksize=int(rate * BLOCK_S),
            callback=self._take,
        )

    def _take(self, block: Any, frames: int, time: object, status: object) -> None:
        """On PortAudio's thread: keep a copy, dropping the oldest when nobody takes them."""
        copy = np.array(block[:, 0], np.float32)
        entry = self._frames, copy
        self._frames += frames
        try:
            self._queue.put_nowait(entry)
        except Full:
            try:
                self._queue.get_nowait()
            except Empty:
                return
            self._queue.put_nowait(entry)


def _gap(frames: int, block: int) -> Iterator[Samples]:
    """Silence for frames that are missing, in pieces as long as a block at most."""
    while frames > 0:
        yield np.zeros(min(frames, block), np.float32)
        frames -= block


def _sounddevice() -> ModuleType:
    try:
        return importlib.import_module("sounddevice")
    except OSError:
        hint = "install it with: sudo apt-get install libportaudio2"
        raise DeviceError("microphone", "the sound library PortAudio is missing", hint) from None


def _errors() -> tuple[type[Exception], ...]:
    """What says that a device cannot be had."""
    return (_sounddevice().PortAudioError, ValueError)


def _trouble(error: Exception) -> DeviceError:
    if HELD in error.args:
        return DeviceHeldError("microphone", "another program holds it", _FREE)
    return DeviceError("microphone", f"it cannot be opened: {_said(error)}", _HINT)


def _said(error: Exception) -> str:
    return str(error.args[0] if error.args else error).splitlines()[0]


def _resampler(rate: int) -> Any:
    """What turns blocks at `rate` Hz into blocks at 16 kHz, remembering the stream."""
    if rate == SAMPLE_RATE:
        return lambda block: block
    import soxr

    return soxr.ResampleStream(rate, SAMPLE_RATE, 1, dtype="float32").resample_chunk
