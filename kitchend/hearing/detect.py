"""Where a phrase begins and ends in the stream of sound.

A detector looks at 32 ms chunks and says what each means: nothing, a phrase opened, it goes on, the speaker
paused, spoke on, or has ended. A pause is an early guess on which work may start; the end is sure. Both come
sooner when what was said so far is a whole command. It waits for nothing, keeps no clock and knows no words:
time is counted in chunks.
"""

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples

CHUNK = 512
CHUNK_S = CHUNK / SAMPLE_RATE

Chance = Callable[[Samples], float]
"""How likely a chunk, float32[512], holds speech: 0 to 1. Chunks come in stream order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What counts as speech (chances) and as silence (seconds)."""

    on: float = 0.5
    off: float = 0.35
    onset_s: float = 0.1
    pre_roll_s: float = 0.3
    pause_s: float = 0.2
    pause_when_complete_s: float = 0.1
    resume_s: float = 0.1
    end_s: float = 0.6
    end_when_complete_s: float = 0.4
    longest_s: float = 12.0


class Mark(Enum):
    """What a chunk means."""

    SILENCE = "silence"
    OPENED = "opened"
    SPEECH = "speech"
    PAUSED = "paused"
    RESUMED = "resumed"
    ENDED = "ended"


class Detector:
    """Takes chunks in order and marks them; `phrase` is the sound of the phrase in progress."""

    def __init__(self, chance: Chance, habits: Habits | None = None) -> None:
        self._chance = chance
        self._habits = habits or Habits()
        self._before: deque[Samples] = deque(maxlen=_chunks(self._habits.pre_roll_s + self._habits.onset_s))
        self._pieces: list[Samples] = []
        self._loud = 0
        self._quiet = 0
        self._is_paused = False

    def reset(self) -> None:
        """Forget the phrase in progress and the sound before it."""
        self._before.clear()
        self._close()

    def _close(self) -> None:
        self._pieces = []
        self._loud = self._quiet = 0
        self._is_paused = False

    @property
    def phrase(self) -> Samples:
        """The phrase so far with its pre-roll, float32[n]; empty when none is in progress."""
        return np.concatenate(self._pieces) if self._pieces else np.zeros(0, np.float32)

    @property
    def pre_roll_s(self) -> float:
        """How much sound before the first speech a phrase begins with."""
        return self._habits.pre_roll_s

    @property
    def silence_s(self) -> float:
        """How long it has been quiet at the end of the phrase."""
        return self._quiet * CHUNK_S

    def hear(self, chunk: Samples, is_complete: bool = False) -> Mark:
        """Mark the next chunk, float32[512]; `is_complete` says whether the phrase so far is a whole command.

        After ENDED the phrase can be read until the next chunk.
        """
        chance = self._chance(chunk)
        if not self._pieces or self._has_ended:
            return self._outside(chunk, chance)
        self._pieces.append(chunk)
        return self._inside(chance, is_complete)

    @property
    def _has_ended(self) -> bool:
        return self._loud < 0

    def _outside(self, chunk: Samples, chance: float) -> Mark:
        if self._has_ended:
            self._close()
        self._before.append(chunk)
        self._loud = self._loud + 1 if chance >= self._habits.on else 0
        if self._loud < _chunks(self._habits.onset_s):
            return Mark.SILENCE
        self._pieces = list(self._before)
        self._before.clear()
        return Mark.OPENED

    def _inside(self, chance: float, is_complete: bool) -> Mark:
        if len(self._pieces) >= _chunks(self._habits.longest_s):
            return self._end()
        habits = self._habits
        is_loud = chance >= (habits.on if self._quiet else habits.off)
        self._loud = self._loud + 1 if is_loud else 0
        if is_loud and (not self._is_paused or self._loud >= _chunks(habits.resume_s)):
            return self._voiced()
        self._quiet += 1
        if is_loud:  # a clatter, or somebody who is about to go on
            return Mark.SPEECH
        end_s = habits.end_when_complete_s if is_complete else habits.end_s
        if self._quiet >= _chunks(end_s):
            return self._end()
        pause_s = habits.pause_when_complete_s if is_complete else habits.pause_s
        if not self._is_paused and self._quiet >= _chunks(pause_s):
            self._is_paused = True
            return Mark.PAUSED
        return Mark.SPEECH

    def _voiced(self) -> Mark:
        was_paused, self._is_paused, self._quiet = self._is_paused, False, 0
        return Mark.RESUMED if was_paused else Mark.SPEECH

    def _end(self) -> Mark:
        self._loud = -1
        return Mark.ENDED


def _chunks(seconds: float) -> int:
    return max(1, round(seconds / CHUNK_S))


class Chunker:
    """Cuts blocks of any length into chunks of 512 samples, keeping what is left over."""

    def __init__(self) -> None:
        self._left = np.zeros(0, np.float32)

    def cut(self, block: Samples) -> Iterator[Samples]:
        """The whole chunks that this block completes."""
        sound = np.concatenate([self._left, block])
        whole = len(sound) // CHUNK * CHUNK
        self._left = sound[whole:]
        yield from sound[:whole].reshape(-1, CHUNK)

    def reset(self) -> None:
        """Forget what is left over."""
        self._left = np.zeros(0, np.float32)
