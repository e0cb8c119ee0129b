"""A slow gain before speech detection, for microphones that arrive softly.

Speech detection does not see what comes far below its usual level; the ears do not mind. So what is made
louder is the detector's view alone: ears, echo canceller and room noise get the sound as it came. The gain
follows the softest of what is heard and is held down by the loudest, so that it never clips, stands still in
even noise, and is none at all where the room is as loud as rooms usually are. It only ever amplifies.
"""

from __future__ import annotations

from typing import Final, Protocol

import numpy as np

from kitchend.hearing.detect import CHUNK_S
from kitchend.hearing.ports import Samples

ROOM_DB: Final = -60.0
"""The room's own noise is brought up to this at most; where it is louder there is no gain."""

SPEECH_DB: Final = -30.0
"""Loud chunks are brought up to this at most: what a usual microphone makes of a voice."""

PEAK: Final = 0.5
"""No sample gets beyond this share of full scale by the gain."""

MOST_DB: Final = 36.0
FALLS: Final = 0.2
"""The softest follows a softer chunk by this share of the way, some 0.15 s."""

RISES_DB_S: Final = 1.5
"""And rises so slowly while somebody speaks, or once a hood is on."""

FORGETS_DB_S: Final = 6.0
"""The loudest is forgotten at this pace."""


class SpeechChance(Protocol):
    """What says how likely a chunk holds speech; it remembers the stream until `reset`."""

    def __call__(self, chunk: Samples) -> float:
        """The chance for float32[512]."""

    def reset(self) -> None:
        """Forget the stream."""


class Gained:
    """A chance of speech that is shown each chunk as loud as a usual microphone has it."""

    def __init__(self, chance: SpeechChance) -> None:
        self._chance = chance
        self._softest: float | None = None
        self._loudest = -np.inf

    def __call__(self, chunk: Samples) -> float:
        """The chance for float32[512], whatever its level."""
        return self._chance(self.louder(chunk))

    def louder(self, chunk: Samples) -> Samples:
        """The chunk with the gain it gets; the levels follow it."""
        peak = float(np.max(np.abs(chunk)))
        if peak == 0:  # nothing at all tells of no microphone
            return chunk
        self._follow(10 * float(np.log10(np.mean(np.square(chunk, dtype=np.float64)))))
        factor = max(1.0, min(10 ** (self.gain_db / 20), PEAK / peak))
        return chunk if factor == 1.0 else (chunk * factor).astype(np.float32)

    def _follow(self, level_db: float) -> None:
        if self._softest is None or level_db < self._softest:
            step = 1.0 if self._softest is None else FALLS
            before = level_db if self._softest is None else self._softest
            self._softest = before + step * (level_db - before)
        else:
            self._softest = min(level_db, self._softest + RISES_DB_S * CHUNK_S)
        self._loudest = max(level_db, self._loudest - FORGETS_DB_S * CHUNK_S)

    @property
    def gain_db(self) -> float:
        """How much louder a chunk is made just now, in dB: 0 and more."""
        if self._softest is None:
            return 0.0
        wanted = min(ROOM_DB - self._softest, SPEECH_DB - self._loudest, MOST_DB)
        return max(0.0, wanted)

    def reset(self) -> None:
        """Forget the stream; how loud the microphone is stays known."""
        self._chance.reset()

    def forget(self) -> None:
        """Forget how loud the microphone is, too: another recording begins."""
        self._softest, self._loudest = None, -np.inf
        self.reset()
