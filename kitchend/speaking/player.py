"""Sound into the air through PortAudio, at the device's own rate, one sound at a time.

Decides nothing about what is played. `play` returns when the last sample has left; `stop` is obeyed within
one block. A loudspeaker that is missing or vanishes is a DeviceError, never a hang, and the next `play`
looks for it again. Importing this loads no audio library.
"""

import importlib
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from kitchend.errors import DeviceError, DeviceHeldError
from kitchend.speaking.ports import OnStarted
from kitchend.speaking.sound import Sound, joined, silence

LATENCY_S: Final = 0.2  # PortAudio's own "low" and "high" made PulseAudio underrun and swallow parts
SHORT_LATENCY_S: Final = 0.08
LATE_S: Final = 0.1
"""Where the first sample leaves later than this, the device plays its buffer out first."""

LEAD_S: Final = 0.02  # silence first: PulseAudio drops the first ~10 ms of a stream, amplifiers wake up
TAIL_S: Final = 0.05  # silence last, beyond the buffer: what is still in the buffer at the end is dropped
STALLED_S: Final = 2.0
HELD: Final = -9985
"""PortAudio's paDeviceUnavailable, see portaudio.h: the device is there and busy."""

_HINT = "check that it is plugged in and switched on, then try: kitchend soundcheck"
_FREE = "close that program, `fuser -v /dev/snd/*` names it"


class SpeakerPlayer:
    """The loudspeaker: `device` is a PortAudio name or index (None: the default), `latency_s` its buffer."""

    def __init__(self, device: str | int | None = None, latency_s: float = LATENCY_S) -> None:
        self._device = device
        self._latency_s = latency_s
        self._turn = threading.Lock()
        self._now: _Run | None = None

    def play(self, sound: Sound, on_started: OnStarted | None = None) -> None:
        """Return when the last sample has left, or after `stop`. Raises DeviceError when the device fails."""
        with self._turn:
            if not len(sound.samples):
                return
            with _stream(self._device, self._latency_s, sound) as (run, stream):
                self._now = run
                try:
                    _see_through(run, stream, on_started)
                finally:
                    self._now = None
                    self._latency_s = latency_after(self._latency_s, run.starts_in_s - LEAD_S)

    def stop(self) -> None:
        """End what is playing at once; nothing happens when nothing plays."""
        if (run := self._now) is not None:
            run.stopped.set()


def latency_after(latency_s: float, waited_s: float) -> float:
    """The buffer to ask for next, where the first sample waited so long in one of `latency_s`.

    PortAudio fills the buffer of a bare ALSA card with silence before it starts, that of PulseAudio not.
    """
    return min(latency_s, SHORT_LATENCY_S) if waited_s > LATE_S else latency_s


class _Run:
    """One sound on its way out, filled in by PortAudio's thread."""

    def __init__(self, samples: NDArray[np.float32]) -> None:
        self.samples = samples
        self.sent = 0
        self.starts_in_s = 0.0
        self.started = threading.Event()
        self.stopped = threading.Event()
        self.ended = threading.Event()

    @property
    def is_complete(self) -> bool:
        return self.sent >= len(self.samples)

    def fill(self, out: NDArray[np.float32]) -> None:
        """Write the next frames into float32[frames, channels], channels alike; silence after the last."""
        part = self.samples[self.sent : self.sent + len(out)]
        out[: len(part)] = part[:, np.newaxis]
        out[len(part) :] = 0.0
        self.sent += len(out)


@contextmanager
def _stream(device: str | int | None, latency_s: float, sound: Sound) -> Iterator[tuple[_Run, Any]]:
    """A started output stream that plays the sound, closed afterwards."""
    sd = _sounddevice()
    try:
        facts = sd.query_devices(device, kind="output")
        rate = int(facts["default_samplerate"])
        padded = joined(silence(LEAD_S, rate), sound.resampled(rate), silence(latency_s + TAIL_S, rate))
        run = _Run(padded.samples)
        stream = sd.OutputStream(
            device=device,
            samplerate=rate,
            channels=min(2, int(facts["max_output_channels"])),
            dtype="float32",
            latency=latency_s,
            callback=_callback(sd, run),
            finished_callback=run.ended.set,
        )
    except (sd.PortAudioError, ValueError) as error:
        raise _trouble(error, device) from error
    try:
        stream.start()
        yield run, stream
    except sd.PortAudioError as error:
        raise DeviceError("loudspeaker", "it does not start", _HINT) from error
    finally:
        stream.close(ignore_errors=True)


def _trouble(error: Exception, device: str | int | None) -> DeviceError:
    if HELD in error.args:
        return DeviceHeldError("loudspeaker", "another program holds it", _FREE)
    name = "no loudspeaker" if device is None else f"no loudspeaker called {device!r}"
    return DeviceError("loudspeaker", f"{name} can be opened", _HINT)


def _callback(sd: ModuleType, run: _Run) -> Any:
    def fill(out: NDArray[np.float32], _frames: int, time_info: Any, _status: object) -> None:
        if run.stopped.is_set():
            raise sd.CallbackAbort
        run.fill(out)
        if not run.started.is_set():
            run.starts_in_s = LEAD_S + max(0.0, time_info.outputBufferDacTime - time_info.currentTime)
            run.started.set()
        if run.is_complete:
            raise sd.CallbackStop

    return fill


def _see_through(run: _Run, stream: Any, on_started: OnStarted | None) -> None:
    """Wait for the end of a started stream; raises DeviceError when it stalls or breaks off."""
    if run.started.wait(STALLED_S) and on_started is not None:
        on_started(run.starts_in_s)
    sent = -1
    while not run.ended.wait(STALLED_S):
        if run.sent == sent:
            stream.abort(ignore_errors=True)
            raise DeviceError("loudspeaker", "it takes no more sound", _HINT)
        sent = run.sent
    if not run.is_complete and not run.stopped.is_set():
        raise DeviceError("loudspeaker", "it vanished while speaking", _HINT)


def _sounddevice() -> ModuleType:
    try:
        return importlib.import_module("sounddevice")
    except ImportError as error:
        raise DeviceError("loudspeaker", "sounddevice is not installed", "pip install sounddevice") from error
    except OSError as error:
        hint = "install it with: sudo apt-get install libportaudio2"
        raise DeviceError("loudspeaker", "the sound library PortAudio is missing", hint) from error
