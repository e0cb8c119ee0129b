"""The listener: sound from a source goes through detector, ears and rule, on the thread that listens.

`hear` takes a whole recording through the very same follower. While kitchend speaks the listener is deaf:
sound is dropped and a phrase in progress forgotten; but where it is told what is played, and knows how that
comes back to the microphone, it hears through it. A source that fails ends the listening and leaves the
listener as it is, so that whoever runs it may open another.
"""

from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from threading import Event, Lock

import numpy as np

from kitchend.hearing.barge_in import BargeIn, Passed, Powers, is_own_rest
from kitchend.hearing.detect import CHUNK, CHUNK_S, Chunker, Detector, Habits
from kitchend.hearing.follower import Follower, OnPartial, Seconds
from kitchend.hearing.gain import Gained, SpeechChance
from kitchend.hearing.loud_quiet import or_loud_quiet
from kitchend.hearing.own_voice import OwnVoice
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
        own: OwnVoice | None = None,
        on_room: Callable[[Samples], None] | None = None,
        weights: Weights | None = None,
        on_partial: OnPartial | None = None,
    ) -> None:
        self._chance = Gained(chance)
        self._own = own
        self._on_room = on_room
        self._barge_in = None if own is None else BargeIn(own)
        self._lately: deque[Powers | None] = deque(maxlen=int((habits or Habits()).longest_s / CHUNK_S))
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="second ear")
        self._detector = Detector(self._chance, habits)
        self._first = first
        self._second = second
        self._seconds = seconds
        self._weights = weights
        self._on_partial = on_partial
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
            on_partial=self._on_partial if speculates else None,
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
        self._chance.forget()

    def listen(self, source: Source, on_heard: OnHeard, on_block: Callable[[], None]) -> None:
        """Listen on this thread until the source ends, telling `on_block` of each; raises what fails."""
        chunker = Chunker()
        self._shut_ears(chunker)
        if self._own is not None and self._barge_in is not None:
            self._own.heard_by(lambda: source.received)
            self._barge_in.start()
        for block in source.blocks():
            on_block()
            for passed in self._passed(block):
                if passed.is_deaf or (passed.own is None and self._deaf.is_set()):
                    self._shut_ears(chunker)
                    continue
                self._take_wanted()
                self._follow(passed, chunker, on_heard)

    def _passed(self, block: Samples) -> Iterator[Passed]:
        if self._barge_in is None:
            yield Passed(samples=block)
        else:
            yield from self._barge_in.take(block)

    def _follow(self, passed: Passed, chunker: Chunker, on_heard: OnHeard) -> None:
        for chunk in chunker.cut(passed.samples):
            self._lately.append(passed.powers)
            heard = self._follower.hear(chunk)
            if heard is not None:
                on_heard(self._unless_own(heard))
            elif self._on_room is not None and passed.own is None and not self._follower.in_phrase:
                self._on_room(chunk)

    def _unless_own(self, heard: Heard) -> Heard:
        """The phrase, refused if it is what was left of kitchend's own voice."""
        lasted = list(self._lately)[-max(1, round(heard.audio_s / CHUNK_S)) :]
        if heard.accepted and is_own_rest(lasted):
            return replace(heard, accepted=False, doubts=(), reason="kitchend's own voice")
        return or_loud_quiet(heard, lasted, self._follower.sayable)

    def _take_wanted(self) -> None:
        with self._lock:
            wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self._follower.listen_for(wanted)

    def _shut_ears(self, chunker: Chunker) -> None:
        chunker.reset()
        self._follower.abandon()
        self._chance.reset()

    @property
    def way_db(self) -> float | None:
        """How much louder kitchend's sound is at the microphone than it was played, in dB, if known."""
        return None if self._barge_in is None else self._barge_in.way_db

    def close(self) -> None:
        """Let the second ear's thread end; close the source before."""
        self._worker.shutdown(wait=False, cancel_futures=True)
