"""A room without hardware: a private PulseAudio whose loudspeaker is heard by its own microphone.

Whatever any program plays in the room, kitchend's answers included, is what everyone in it hears. The room
touches nothing outside its own temporary folder, works as root, and is gone when it is left, its daemon
with it. Where PulseAudio cannot start it raises RoomUnavailable with the reason.
"""

import importlib
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Self

import numpy as np

from kitchend.errors import DeviceError
from kitchend.speaking.sound import Sound, from_pcm16, from_samples, joined, silence

SPEECH_FLOOR: Final = 0.01  # of full scale; samples below it are the pauses in speech
LEAD_S: Final = 0.02  # silence first, because PulseAudio drops the first ~10 ms of a stream
READY_TRIES: Final = 200
NAP_S: Final = 0.025
ENDING_S: Final = 5.0
ON_ITS_WAY_S: Final = 0.1  # from the air through the daemon to the tape
_SINK: Final = "room"
_NEVER: Final = threading.Event()  # waited on for a while, and never set
_PROMPT: Final = "--latency-msec=20"  # PulseAudio's own choice is two seconds
_NEEDED: Final = ("pulseaudio", "pactl", "paplay", "parec")
_INSTALL: Final = "install with: sudo apt-get install pulseaudio pulseaudio-utils libasound2-plugins"


class RoomUnavailable(DeviceError):  # noqa: N818  # the name says what the matter is
    """PulseAudio cannot start here; `problem` is the reason."""

    def __init__(self, problem: str) -> None:
        super().__init__("room", problem, _INSTALL)


class Tape:
    """What is heard in the room from one moment to another; `sound` grows until the recording ends."""

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._data = bytearray()
        self.is_running = threading.Event()

    @property
    def sound(self) -> Sound:
        """Everything heard so far."""
        return from_pcm16(bytes(self._data), self._rate)

    def keep(self, data: bytes) -> None:
        """Add 16-bit samples."""
        self._data += data
        self.is_running.set()


class Room:
    """Enter it to start the daemon; `rate` is that of its air, in Hz."""

    def __init__(self, rate: int = 44_100) -> None:
        self._rate = rate
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._daemon: subprocess.Popen[bytes] | None = None
        self._keeper: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        missing = [name for name in _NEEDED if shutil.which(name) is None]
        if missing:
            raise RoomUnavailable(f"{', '.join(missing)} not found")
        self._folder = tempfile.TemporaryDirectory(prefix="kitchend-room-")
        try:
            self._start()
        except BaseException:
            self._leave()
            raise
        return self

    def __exit__(self, *_exc: object) -> None:
        self._leave()

    @property
    def environment(self) -> Mapping[str, str]:
        """The variables that put a program into the room; they must be there before PortAudio starts."""
        folder = self._path
        return {"PULSE_SERVER": f"unix:{folder / 'native'}", "ALSA_CONFIG_PATH": str(folder / "asound.conf")}

    @contextmanager
    def enter_process(self) -> Iterator[None]:
        """Put this very process into the room: its PortAudio sees the room alone. No stream may be open."""
        before = {name: os.environ.get(name) for name in self.environment}
        os.environ.update(self.environment)
        try:
            _restart_portaudio()
            yield
        finally:
            for name, value in before.items():
                if value is None:
                    os.environ.pop(name, None)
                else:
                    os.environ[name] = value
            _restart_portaudio()

    @property
    def daemon_id(self) -> int:
        """The process number of the room's PulseAudio."""
        if self._daemon is None:
            raise RoomUnavailable("nobody has entered it yet")
        return self._daemon.pid

    def play(self, sound: Sound) -> None:
        """Be heard in the room, as a cook would; returns when the sound is over."""
        with self.playing(sound):
            pass

    @contextmanager
    def playing(self, sound: Sound) -> Iterator[None]:
        """Be heard in the room while the block runs; leaving it waits for the end of the sound."""
        whole = joined(silence(LEAD_S, sound.rate), sound)
        command = ["paplay", f"--device={_SINK}", "--raw", *_format(sound.rate)]
        with self._client(command, stdin=subprocess.PIPE) as program:
            feeder = threading.Thread(target=_feed, args=(program, whole.pcm16()), daemon=True)
            feeder.start()
            yield
            feeder.join(sound.duration_s + ENDING_S)
            if program.wait(sound.duration_s + ENDING_S):
                raise RoomUnavailable(f"paplay ended with {program.returncode}")

    @contextmanager
    def recording(self, rate: int | None = None) -> Iterator[Tape]:
        """Hear the room while the block runs; the tape is running when the block begins."""
        rate = rate or self._rate
        tape = Tape(rate)
        command = ["parec", f"--device={_SINK}.monitor", "--raw", *_format(rate), _PROMPT]
        with self._client(command, stdout=subprocess.PIPE) as program:
            listener = threading.Thread(target=_listen, args=(program, tape), daemon=True)
            listener.start()
            try:
                if not tape.is_running.wait(ENDING_S):
                    raise RoomUnavailable("the room's microphone gives nothing")
                yield tape
                # What was in the air when the block ended is still on its way here.
                _NEVER.wait(ON_ITS_WAY_S)
            finally:
                program.terminate()
                listener.join(ENDING_S)

    def record(self, seconds: float, rate: int | None = None) -> Sound:
        """What is heard in the next `seconds`."""
        with self.recording(rate) as tape:
            while tape.sound.duration_s < seconds:
                _NEVER.wait(NAP_S)
        heard = tape.sound
        return from_samples(heard.samples[: round(seconds * heard.rate)], heard.rate)

    def pull_the_plug(self) -> None:
        """Take the sound devices away in the middle of everything, as a pulled cable does."""
        if self._daemon is not None:
            self._daemon.kill()
            self._daemon.wait(ENDING_S)

    def plug_in(self) -> None:
        """Bring the sound devices back under their old names."""
        self._close()
        self._start()

    @property
    def _path(self) -> Path:
        if self._folder is None:
            raise RoomUnavailable("nobody has entered it yet")
        return Path(self._folder.name)

    def _start(self) -> None:
        # A minimal configuration: with the machine's own, PortAudio tries every card there might be.
        (self._path / "asound.conf").write_text("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        with (self._path / "log").open("wb") as log:
            self._daemon = subprocess.Popen(
                self._command(),
                env=self._daemon_environment(),
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
            )
        for _ in range(READY_TRIES):
            if self._daemon.poll() is not None:
                raise RoomUnavailable(f"pulseaudio ended at once: {self._last_words()}")
            if self._answers():
                self._keep_prompt()
                return
            _NEVER.wait(NAP_S)
        raise RoomUnavailable(f"pulseaudio does not answer: {self._last_words()}")

    def _command(self) -> list[str]:
        # Should this process die without leaving the room, the daemon goes with the thread that started it.
        leash = ["setpriv", "--pdeathsig", "TERM"] if shutil.which("setpriv") else []
        return [
            *leash,
            "pulseaudio",
            "--daemonize=no",
            "--use-pid-file=no",
            "--exit-idle-time=-1",
            "--log-target=stderr",
            "-n",
            "-L",
            f"module-native-protocol-unix socket={self._path / 'native'} auth-anonymous=1",
            "-L",
            f"module-null-sink sink_name={_SINK} rate={self._rate} channels=2",
        ]

    def _daemon_environment(self) -> dict[str, str]:
        foreign = ("PULSE_", "XDG_", "DBUS_")
        kept = {name: value for name, value in os.environ.items() if not name.startswith(foreign)}
        return kept | {"XDG_RUNTIME_DIR": str(self._path), "HOME": str(self._path)}

    def _client(
        self, command: list[str], stdin: int = subprocess.DEVNULL, stdout: int = subprocess.DEVNULL
    ) -> "subprocess.Popen[bytes]":
        environment = os.environ | dict(self.environment)
        return subprocess.Popen(
            command, env=environment, stdin=stdin, stdout=stdout, stderr=subprocess.DEVNULL
        )

    def _answers(self) -> bool:
        with self._client(["pactl", "info"]) as asking:
            return asking.wait(ENDING_S) == 0

    def _keep_prompt(self) -> None:
        # The air moves in steps of two seconds unless somebody in the room is in a hurry all the time; the
        # sink sleeps meanwhile, or it would take its first long step before it hears of the hurry.
        self._ask("suspend-sink", _SINK, "1")
        self._keeper = self._client(["parec", f"--device={_SINK}.monitor", "--raw", _PROMPT])
        for _ in range(READY_TRIES):
            if self._ask("list", "short", "source-outputs"):
                break
            _NEVER.wait(NAP_S)
        self._ask("suspend-sink", _SINK, "0")
        with self.recording():
            return

    def _ask(self, *words: str) -> bytes:
        with self._client(["pactl", *words], stdout=subprocess.PIPE) as asking:
            return asking.communicate(timeout=ENDING_S)[0]

    def _last_words(self) -> str:
        lines = (self._path / "log").read_text(errors="replace").strip().splitlines()
        return lines[-1] if lines else "it said nothing"

    def _leave(self) -> None:
        self._close()
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _close(self) -> None:
        for program in (self._keeper, self._daemon):
            if program is not None:
                _end(program)
        self._keeper = self._daemon = None


def mix(speech: Sound, noise: Sound, snr_db: float) -> Sound:
    """Speech with noise under it, `snr_db` decibels softer; noise is repeated or cut to the speech's length.

    The ratio is of mean squares, the speech's over samples above 1 % of full scale alone, so that its pauses
    do not make the noise softer. Scaled down as a whole if it would clip. ValueError when either is silent.
    """
    under = np.resize(noise.resampled(speech.rate).samples, len(speech.samples)).astype(np.float64)
    loud = speech.samples[np.abs(speech.samples) > SPEECH_FLOOR].astype(np.float64)
    if not len(loud) or not np.any(under):
        raise ValueError("speech and noise must both be heard to be mixed")
    wanted = np.mean(loud**2) / 10 ** (snr_db / 10)
    mixed = speech.samples + under * np.sqrt(wanted / np.mean(under**2))
    return from_samples(mixed / max(1.0, float(np.max(np.abs(mixed)))), speech.rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Where a sound was heard: seconds from the start, and how alike (1.0: the same but for loudness)."""

    at_s: float
    likeness: float


def find(sound: Sound, heard: Sound) -> Match:
    """The place in `heard` most like `sound`: the peak of their cross-correlation, normalised at that place.

    ValueError when `sound` is silent or longer than what was heard.
    """
    wanted = sound.resampled(heard.rate).samples.astype(np.float64)
    air = heard.samples.astype(np.float64)
    if not np.any(wanted) or len(wanted) > len(air):
        raise ValueError("only a sound that is not silent can be found, in one at least as long")
    size = len(air) + len(wanted)
    spectrum = np.fft.rfft(air, size) * np.conj(np.fft.rfft(wanted, size))
    products = np.fft.irfft(spectrum, size)[: len(air) - len(wanted) + 1]
    at = int(np.argmax(products))
    energy = np.sum(air[at : at + len(wanted)] ** 2) * np.sum(wanted**2)
    return Match(at_s=at / heard.rate, likeness=float(products[at] / np.sqrt(energy)) if energy else 0.0)


def _format(rate: int) -> list[str]:
    return [f"--rate={rate}", "--channels=1", "--format=s16le"]


def _end(program: "subprocess.Popen[bytes]") -> None:
    program.terminate()
    try:
        program.wait(ENDING_S)
    except subprocess.TimeoutExpired:
        program.kill()
        program.wait(ENDING_S)


def _feed(program: "subprocess.Popen[bytes]", data: bytes) -> None:
    if program.stdin is not None:
        try:
            program.stdin.write(data)
            program.stdin.close()
        except BrokenPipeError:
            return


def _listen(program: "subprocess.Popen[bytes]", tape: Tape) -> None:
    if program.stdout is not None:
        while data := os.read(program.stdout.fileno(), 65_536):
            tape.keep(data)


def _restart_portaudio() -> None:
    """PortAudio lists devices once, when it starts; it starts when sounddevice is imported."""
    started = sys.modules.get("sounddevice")
    if started is None:
        importlib.import_module("sounddevice")
        return
    started._terminate()
    started._initialize()
