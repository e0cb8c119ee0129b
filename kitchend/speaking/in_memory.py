"""A voice, a player and a mouth without hardware: for rehearsals and tests, held to the same contracts.

They keep what they were given, in order, and take as long as they are told to: by default no time at all.
They read no clock; who wants times hands one in.
"""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from kitchend.errors import DeviceError
from kitchend.speaking.ports import PLAIN, Manner, OnDone, OnStarted
from kitchend.speaking.sound import Sound, from_samples
from kitchend.speaking.text import speakable

BEEP_RATE: Final = 16_000
BEEP_HZ: Final = 220.0


class BeepVoice:
    """A voice of one tone, `s_per_word` for each word; the same words always give the same sound."""

    def __init__(self, s_per_word: float = 0.3) -> None:
        self._s_per_word = s_per_word
        self.rendered: list[str] = []

    def render(self, text: str) -> Sound:
        """A tone as long as the text has words; empty for text without words."""
        self.rendered.append(text)
        length = round(self._s_per_word * BEEP_RATE * len(speakable(text).split()))
        return from_samples(0.2 * np.sin(2 * np.pi * BEEP_HZ / BEEP_RATE * np.arange(length)), BEEP_RATE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """One sound that was played, and whether it was stopped before its end."""

    sound: Sound
    is_cut: bool


class MemoryPlayer:
    """Plays into a list. `pace` 1.0 is as long as the sound, 0.0 no time; fails while `breaks` is set."""

    def __init__(self, pace: float = 0.0) -> None:
        self.played: list[Played] = []
        self.breaks = False
        self._pace = pace
        self._turn = threading.Lock()
        self._now: threading.Event | None = None

    def play(self, sound: Sound, on_started: OnStarted | None = None) -> None:
        """Keep the sound; return after its duration times the pace, or after `stop`."""
        with self._turn:
            if self.breaks:
                raise DeviceError("loudspeaker", "it was told to break", "let it work again")
            if not len(sound.samples):
                return
            self._now = stopped = threading.Event()
            if on_started is not None:
                on_started(0.0)
            is_cut = stopped.wait(sound.duration_s * self._pace) if self._pace else stopped.is_set()
            self._now = None
            self.played.append(Played(sound=sound, is_cut=is_cut))

    def stop(self) -> None:
        """End what is playing at once; nothing happens when nothing plays."""
        if (stopped := self._now) is not None:
            stopped.set()


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One thing a mouth said: its words, its kind, and the moment by the clock the mouth was given."""

    text: str
    kind: str | None
    at: float


class MemoryMouth:
    """Keeps what was said with the moment `now` gives; for one thread, in which the callbacks come too.

    Says everything at once, or, with `holds`, goes on speaking until `finish` is called.
    """

    def __init__(self, now: Callable[[], float] = lambda: 0.0, *, holds: bool = False) -> None:
        self.said: list[Said] = []
        self._now = now
        self._holds = holds
        self._is_closed = False
        self._speaking: _Utterance | None = None
        self._waiting: deque[_Utterance] = deque()

    def say(
        self,
        text: str,
        kind: str | None = None,
        *,
        manner: Manner = PLAIN,
        on_started: OnStarted | None = None,
        on_done: OnDone | None = None,
    ) -> None:
        """Say `text` when all before it is over. A closed mouth keeps nothing and answers False."""
        utterance = _Utterance(text=text, kind=kind, on_started=on_started, on_done=on_done)
        if self._is_closed:
            utterance.end(False)
            return
        self._waiting.append(utterance)
        self._go_on()

    def finish(self) -> None:
        """End what is being said as heard, and go on to the next."""
        utterance, self._speaking = self._speaking, None
        if utterance is not None:
            utterance.end(True)
        self._go_on()

    def stop(self) -> None:
        """End what is being said and forget what is waiting; each is told False."""
        ended = [self._speaking] if self._speaking else []
        ended += self._waiting
        self._speaking = None
        self._waiting.clear()
        for utterance in ended:
            utterance.end(False)

    def close(self) -> None:
        """Stop. Nothing can be said afterwards."""
        self._is_closed = True
        self.stop()

    def _go_on(self) -> None:
        while self._speaking is None and self._waiting:
            utterance = self._speaking = self._waiting.popleft()
            self.said.append(Said(text=utterance.text, kind=utterance.kind, at=self._now()))
            utterance.begin()
            if not self._holds:
                self.finish()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Utterance:
    text: str
    kind: str | None
    on_started: OnStarted | None
    on_done: OnDone | None

    def begin(self) -> None:
        if self.on_started is not None and self.text.strip():
            self.on_started(0.0)

    def end(self, ok: bool) -> None:
        if self.on_done is not None:
            self.on_done(ok)
