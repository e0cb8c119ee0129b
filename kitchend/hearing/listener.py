"""The listener: sound from a source goes through detector, ears and rule on a thread of its own.

`hear` takes a whole recording through the very same follower without any thread. While kitchend speaks the
listener is deaf: sound is dropped and a phrase in progress forgotten. A source that fails is reported once
and the listener stays, so that whoever runs it may open another.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Event, Lock, Thread
from typing import Protocol

import numpy as np

from kitchend.errors import DeviceError
from kitchend.hearing.detect import CHUNK, Chunker, Detector, Habits
from kitchend.hearing.follower import Follower, Seconds
from kitchend.hearing.ports import (
    SAMPLE_RATE,
    FirstEar,
    Heard,
    Samples,
    Sayable,
    SecondEar,
    Source,
)

OnHeard = Callable[[Heard], None]
OnFailed = Callable[[DeviceError], None]
_AFTER_S = 1.2
"""Silence put behind a recording, so that its last phrase ends."""


class SpeechChance(Protocol):
    """What says how likely a chunk holds speech; it remembers the stream until `reset`."""

    def __call__(self, chunk: Samples) -> float:
        """The chance for float32[512]."""

    def reset(self) -> None:
        """Forget the stream."""


class SoundListener:
    """Hears phrases: whole recordings by `hear`, a running source by `start`."""

    def __init__(
        self,
        *,
        first: FirstEar | None,
        second: SecondEar | None,
        chance: SpeechChance,
        seconds: Seconds,
        habits: Habits | None = None,
    ) -> None:
        self._chance = chance
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="second ear")
        self._detector = Detector(chance, habits)
        self._first = first
        self._second = second
        self._seconds = seconds
        self._follower = self._new_follower(speculates=True)
        self._lock = Lock()
        self._wanted: Sayable | None = None
        self._deaf = Event()
        self._source: Source | None = None
        self._thread: Thread | None = None

    def _new_follower(self, *, speculates: bool) -> Follower:
        return Follower(
            detector=self._detector,
            first=self._first,
            second=self._second,
            seconds=self._seconds,
            worker=self._worker if speculates else None,
        )

    def listen_for(self, sayable: Sayable) -> None:
        """From the next phrase on expect these; from any thread."""
        with self._lock:
            self._wanted = sayable

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks; from any thread."""
        if is_deaf:
            self._deaf.set()
        else:
            self._deaf.clear()

    def hear(self, samples: Samples) -> Heard:
        """What is made of a recording, float32[n]; of several phrases the best accepted one.

        Must not be called while a source is running.
        """
        phrases = list(self.hear_all(samples))
        accepted = [heard for heard in phrases if heard.accepted]
        if accepted:
            return accepted[0]
        if phrases:
            return phrases[0]
        audio_s = len(samples) / SAMPLE_RATE
        return Heard(
            text="", accepted=False, reason="no speech", started_s=0, ended_s=0, audio_s=audio_s, took_s=0
        )

    def hear_all(self, samples: Samples) -> Iterator[Heard]:
        """Every phrase of a recording, in order."""
        follower = self._new_follower(speculates=False)
        self._forget()
        if self._wanted is not None:
            follower.listen_for(self._wanted)
        quiet = np.zeros(int(_AFTER_S * SAMPLE_RATE) + CHUNK, np.float32)
        sound = np.concatenate([np.asarray(samples, np.float32), quiet])
        for chunk in Chunker().cut(sound):
            heard = follower.hear(chunk)
            if heard is not None:
                yield heard
        follower.abandon()

    def _forget(self) -> None:
        self._detector.reset()
        self._chance.reset()

    def start(self, source: Source, on_heard: OnHeard, on_failed: OnFailed) -> None:
        """Listen to this source until it ends or `close`; calls back on the listener's own thread."""
        self._source = source
        self._thread = Thread(target=self._run, args=(source, on_heard, on_failed), name="ears", daemon=True)
        self._thread.start()

    def _run(self, source: Source, on_heard: OnHeard, on_failed: OnFailed) -> None:
        try:
            self.listen(source, on_heard, _nothing)
        except DeviceError as error:
            on_failed(error)

    def listen(self, source: Source, on_heard: OnHeard, on_block: Callable[[], None]) -> None:
        """Listen on this thread until the source ends, telling `on_block` of each; raises what fails."""
        chunker = Chunker()
        self._shut_ears(chunker)
        for block in source.blocks():
            on_block()
            if self._deaf.is_set():
                self._shut_ears(chunker)
                continue
            self._take_wanted()
            for chunk in chunker.cut(block):
                heard = self._follower.hear(chunk)
                if heard is not None:
                    on_heard(heard)

    def _take_wanted(self) -> None:
        with self._lock:
            wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self._follower.listen_for(wanted)

    def _shut_ears(self, chunker: Chunker) -> None:
        chunker.reset()
        self._follower.abandon()
        self._chance.reset()

    def close(self) -> None:
        """Stop listening and let the threads end."""
        if self._source is not None:
            self._source.close()
        if self._thread is not None:
            self._thread.join(timeout=5)
        self._worker.shutdown(wait=False, cancel_futures=True)


def _nothing() -> None:
    """Nobody watches."""
