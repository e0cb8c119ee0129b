"""The voice every machine has: espeak-ng, driven through pyttsx3, rendered to sound and never played by it.

libespeak-ng has one state a process, so one thread owns pyttsx3 and every voice hands it its words; a render
that does not end in time costs that thread its place and a fresh one is tried once. Which words are said is
decided elsewhere. pyttsx3 is imported when first needed, because importing it loads the library.
"""

import tempfile
import threading
from concurrent.futures import Future
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from types import ModuleType
from typing import Any, Final

import numpy as np

from kitchend.errors import DeviceError
from kitchend.speaking.sound import AUDIBLE, Sound, from_samples, from_wav
from kitchend.speaking.text import speakable

RATE_WPM: Final = 140
"""By espeak-ng's count of five-letter words; calls have shorter ones and come out at about 160 a minute.

US conversation is ~150, audiobooks 150-160 (lisabmarshall.com quoting NCVS; enow.com excerpt).
"""
RMS: Final = 0.16
TIMEOUT_S: Final = 5.0
SLOWEST_CHARS_PER_S: Final = 200  # hundreds of times slower than was measured, for boards that are busy
NAP_S: Final = 0.002
SCRATCH: Final = Path("/dev/shm")  # memory, so that a sentence does not wear the board's card

_INSTALL = "install it with: sudo apt-get install espeak-ng"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Request:
    text: str
    voice: str
    rate_wpm: int


class EspeakVoice:
    """espeak-ng: `voice` as it names them ("en-us", "en+f3"), `rate_wpm` 80 to 450, `volume` 0 to 1."""

    def __init__(
        self,
        voice: str = "en-us",
        rate_wpm: int = RATE_WPM,
        volume: float = 1.0,
        timeout_s: float = TIMEOUT_S,
    ) -> None:
        if not 80 <= rate_wpm <= 450:
            raise ValueError(f"espeak-ng speaks 80 to 450 words a minute, not {rate_wpm}")
        if not 0.0 <= volume <= 1.0:
            raise ValueError(f"a volume is from 0 to 1, not {volume}")
        self._voice = voice
        self._rate_wpm = rate_wpm
        self._volume = volume
        self._timeout_s = timeout_s

    def render(self, text: str) -> Sound:
        """The words at 22.05 kHz. Raises DeviceError when engine or voice is missing, or if it hangs."""
        words = speakable(text)
        if not words:
            return from_samples(np.zeros(0), 22_050)
        request = _Request(text=words, voice=self._voice, rate_wpm=self._rate_wpm)
        sound = _rendered(request, self._timeout_s + len(words) / SLOWEST_CHARS_PER_S)
        return sound.levelled(RMS).trimmed().scaled(self._volume)


def _rendered(request: _Request, timeout_s: float) -> Sound:
    for _ in range(2):
        owner = _the_owner()
        answer = owner.render(request)
        try:
            return answer.result(timeout_s)
        except (TimeoutError, _CutOffError):
            _retire(owner)
    raise DeviceError("voice", "espeak-ng gave no sound, twice", "restart kitchend")


class _CutOffError(Exception):
    """The library was done before the words were, or never began; another engine may do better."""


_owner: "_Owner | None" = None
_owner_lock = threading.Lock()
# Kept for good: an engine that is collected takes away the library's callback, its successor's by then.
_retired: "list[_Owner]" = []


def _the_owner() -> "_Owner":
    global _owner
    with _owner_lock:
        if _owner is None or not _owner.is_alive():
            _owner = _Owner()
        return _owner


def _retire(owner: "_Owner") -> None:
    global _owner
    with _owner_lock:
        owner.give_up()
        if _owner is owner:
            _retired.append(owner)
            _owner = None


class _Owner:
    """The thread that owns the engine. It keeps its engine until it is retired."""

    def __init__(self) -> None:
        self._jobs: SimpleQueue[tuple[_Request, Future[Sound]] | None] = SimpleQueue()
        self._engine: _Engine | None = None
        self._is_retired = threading.Event()
        # A daemon, for a thread stuck inside the library must not keep the process from ending.
        self._thread = threading.Thread(target=self._serve, name="espeak", daemon=True)
        self._thread.start()

    def is_alive(self) -> bool:
        return self._thread.is_alive()

    def render(self, request: _Request) -> Future[Sound]:
        answer: Future[Sound] = Future()
        self._jobs.put((request, answer))
        return answer

    def give_up(self) -> None:
        self._is_retired.set()
        self._jobs.put(None)
        if self._engine is not None:
            self._engine.break_off()

    def _serve(self) -> None:
        while (job := self._jobs.get()) is not None:
            request, answer = job
            try:
                answer.set_result(self._render(request))
            except (DeviceError, _CutOffError) as error:
                answer.set_exception(error)

    def _render(self, request: _Request) -> Sound:
        # The library is the successor's by now: words from here would end up among his.
        if self._is_retired.is_set():
            raise _CutOffError
        if self._engine is None:
            self._engine = _Engine()
        return self._engine.render(request)


class _Engine:
    """pyttsx3 with its habits allowed for; used from one thread, but for `break_off`."""

    def __init__(self) -> None:
        driver, engine_class = _pyttsx3()
        # It prints a line for every file saved; standard output belongs to kitchend's own answers.
        driver.print = lambda *_args, **_kwargs: None  # type: ignore[attr-defined]  # shadows the builtin there
        self._espeak: Any = driver._espeak
        self._engine: Any = engine_class("espeak")
        self._complaint = ""
        self._finished = threading.Event()
        self._gone = threading.Event()
        self._is_whole = False
        self._engine.connect("finished-utterance", self._end)
        self._engine.connect("error", self._note)
        # Until its first run pyttsx3 only queues what it is told, a voice that nobody has as well, and then
        # cancels part of it: so that run is spent on nothing.
        self._wait_idle()
        self._engine.runAndWait()
        self._voice: str | None = None
        self._rate_wpm: int | None = None

    def render(self, request: _Request) -> Sound:
        self._choose(request)
        scratch = SCRATCH if SCRATCH.is_dir() else None
        with tempfile.TemporaryDirectory(prefix="kitchend-words-", dir=scratch) as folder:
            path = Path(folder) / "words.wav"
            self._save(request.text, path)
            if not self._is_whole:
                raise _CutOffError
            sound = from_wav(path)
        if sound.peak <= AUDIBLE:
            raise _CutOffError
        return sound

    def break_off(self) -> None:
        """End a render that hangs, from another thread."""
        self._gone.set()
        self._finished.set()
        self._engine.proxy._driver.endLoop()

    def _save(self, text: str, path: Path) -> None:
        # While the library is busy, starting a render cancels what it is busy with, even a new rate.
        self._wait_idle()
        self._finished.clear()
        self._is_whole = False
        self._engine.save_to_file(text, str(path))
        self._engine.runAndWait()
        # A run may return early; the file is whole only when the utterance is reported finished.
        self._finished.wait()

    def _choose(self, request: _Request) -> None:
        if request.voice != self._voice:
            self._set("voice", request.voice)
            self._voice, self._rate_wpm = request.voice, None
        if request.rate_wpm != self._rate_wpm:
            self._set("rate", request.rate_wpm)
            self._rate_wpm = request.rate_wpm

    def _set(self, name: str, value: str | int) -> None:
        self._complaint = ""
        self._wait_idle()
        self._engine.setProperty(name, value)
        self._wait_idle()
        if self._complaint:
            problem = f"espeak-ng has no {name} {value!r}"
            raise DeviceError("voice", problem, "choose from: espeak-ng --voices=en (column File)")

    def _wait_idle(self) -> None:
        while self._espeak.IsPlaying() and not self._gone.is_set():
            self._gone.wait(NAP_S)

    def _end(self, *, completed: bool, **_rest: object) -> None:
        self._is_whole = completed
        self._finished.set()

    def _note(self, *, exception: Exception, **_rest: object) -> None:
        self._complaint = str(exception)


def _pyttsx3() -> tuple[ModuleType, Any]:
    try:
        from pyttsx3.drivers import espeak
        from pyttsx3.engine import Engine
    except ImportError as error:
        raise DeviceError("voice", "pyttsx3 is not installed", "pip install pyttsx3") from error
    except (OSError, RuntimeError) as error:
        raise DeviceError("voice", "the speech library libespeak-ng is missing", _INSTALL) from error
    return espeak, Engine
