"""What kitchend itself plays, as the ears must know it: which samples, and when by the microphone's count.

Who speaks says here what leaves the loudspeaker; the ears ask for the stretch that belongs to what they
hear. Time is counted in samples of the microphone, so that no clock is needed. From any thread.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Final

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples

KEPT: Final = 3


@dataclass(slots=True, kw_only=True, eq=False)
class Uttered:
    """One utterance: its sound, and the count at which it began to leave, by the device's word."""

    sound: Samples
    begins: int

    @property
    def ends(self) -> int:
        """The count at which its last sample leaves."""
        return self.begins + len(self.sound)


class OwnVoice:
    """The utterances lately in the air, each by the count of samples the microphone gives at 16 kHz."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._uttered: deque[Uttered] = deque(maxlen=KEPT)
        self._received: Callable[[], int] = _none

    def heard_by(self, received: Callable[[], int]) -> None:
        """Count with this microphone from now on; what was in the air before is forgotten."""
        with self._lock:
            self._received = received
            self._uttered.clear()

    def begins(self, sound: Samples, in_s: float) -> None:
        """This, float32[n] at 16 kHz, begins to leave the loudspeaker in so many seconds."""
        self.begins_at(sound, self.count_in(in_s))

    def count_in(self, seconds: float) -> int:
        """The microphone's count in so many seconds from now."""
        return self._received() + round(seconds * SAMPLE_RATE)

    def begins_at(self, sound: Samples, count: int) -> None:
        """The same, by the microphone's count."""
        with self._lock:
            self._uttered.append(Uttered(sound=sound, begins=count))

    def stops(self) -> None:
        """What is in the air breaks off now."""
        with self._lock:
            if self._uttered:
                last = self._uttered[-1]
                last.sound = last.sound[: max(0, self._received() - last.begins)]

    def last_before(self, count: int) -> Uttered | None:
        """The latest utterance that begins before this count, if any."""
        with self._lock:
            return next((one for one in reversed(self._uttered) if one.begins < count), None)


def own_part(own: Uttered, start: int, length: int, lag: int) -> Samples:
    """What of it arrives at the microphone from count `start` on, `lag` samples late: float32[length]."""
    found = np.zeros(length, np.float32)
    first = start - lag - own.begins
    part = own.sound[max(0, first) : max(0, first + length)]
    at = max(0, -first)
    found[at : at + len(part)] = part[: length - at]
    return found


def _none() -> int:
    return 0
