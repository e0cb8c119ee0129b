"""The listener: sound from a source goes through detector, ears and rule, on the thread that listens.

`hear` takes a whole recording through the very same follower. While kitchend speaks the listener is deaf:
sound is dropped and a phrase in progress forgotten. A source that fails ends the listening and leaves the
listener as it is, so that whoever runs it may open another.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Event, Lock
from typing import Protocol

import numpy as np

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
from kitchend.hearing.worth import Weights

OnHeard = Callable[[Heard], None]
_AFTER_S = 1.2
"""Silence put behind a recording, so that its last phrase ends."""


class SpeechChance(Protocol):
    """What says how likely a chunk holds speech; it remembers the stream until `reset`."""

    def __call__(self, chunk: Samples) -> float:
        """The chance for float32[512]."""

    def reset(self) -> None:
        """Forget the stream."""


class SoundListener:
    """Hears phrases: whole recordings by `hear`, a running source by `listen`."""

    def __init__(
        self,
        *,
        first: FirstEar | None,
        second: SecondEar | None,
        chance: SpeechChance,
        seconds: Seconds,
        habits: Habits | None = None,
        weights: Weights | None = None,
    ) -> None:
        self._chance = chance
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="second ear")
        self._detector = Detector(chance, habits)
        self._first = first
        self._second = second
        self._seconds = seconds
        self._weights = weights
        self._follower = self._new_follower(speculates=True)
        self._lock = Lock()
        self._wanted: Sayable | None = None
        self._deaf = Event()

    def _new_follower(self, *, speculates: bool) -> Follower:
        return Follower(
            detector=self._detector,
            first=self._first,
            second=self._second,
            seconds=self._seconds,
            worker=self._worker if speculates else None,
            weights=self._weights,
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
        """Let the second ear's thread end; close the source before."""
        self._worker.shutdown(wait=False, cancel_futures=True)
