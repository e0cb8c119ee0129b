"""How loud kitchend speaks: so far above the kitchen's noise, at the microphone, within limits the cook sets.

The noise is that of moments when nobody speaks, kitchend least of all. How loud own sound is at the
microphone is what the ears have learnt of the way there, or else what the last soundcheck measured; while
neither is known, kitchend speaks as loud as it always did. No sound pressure is measured: it is taken that
the microphone hears the noise and the loudspeaker about as the cook does. Levels are A-weighted and in dB
below full scale. Decides nothing about what is said.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from math import log10
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.speaking.ports import PLAIN, WHISPER_DB, Manner
from kitchend.speaking.sound import Sound

ABOVE_DB: Final = 15.0
"""ISO 7731: a signal is heard when its A-weighted level is 15 dB above the noise, as cited in the Ontario
Building Code, appendix to 3.2.4.22. It speaks of signals, so of the chimes; the words follow along."""

OWN_RMS_DB: Final = 20 * log10(0.16)
"""The level of voice and chimes as they are made, over what is not silence."""

OWN_A_DB: Final = OWN_RMS_DB - 2.0
"""The same A-weighted: what low tones lose. Measured; a test holds it."""

LOOKED_BACK: Final = 250
"""Chunks of 32 ms: 8 s of the room."""
LEAST_CHUNKS: Final = 30
SPARED: Final = 0.1
"""The loudest tenth is left out: a pot put down is no noise to speak over."""

SILENCE_DB: Final = -100.0


@cache
def a_weights(length: int, rate: int) -> NDArray[np.float64]:
    """float64[length // 2 + 1]: the power weights of IEC 61672-1, annex E, for the bins of a spectrum."""
    f2 = np.fft.rfftfreq(length, 1 / rate) ** 2
    poles = (f2 + 20.6**2) * np.sqrt((f2 + 107.7**2) * (f2 + 737.9**2)) * (f2 + 12194.0**2)
    weights: NDArray[np.float64] = (10 ** (2.0 / 20) * 12194.0**2 * f2**2 / poles) ** 2
    return weights


def a_level(samples: Samples, rate: int) -> float:
    """The A-weighted level of float32[n], in dB below full scale."""
    if not len(samples):
        return SILENCE_DB
    power = np.abs(np.fft.rfft(samples.astype(np.float64))) ** 2
    total = float((power * a_weights(len(samples), rate)).sum()) * 2 / len(samples) ** 2
    return max(SILENCE_DB, 10 * log10(max(total, 1e-12)))


class RoomNoise:
    """The level of the room while nobody speaks; from any thread."""

    def __init__(self) -> None:
        self._lately: deque[float] = deque(maxlen=LOOKED_BACK)

    def take(self, chunk: Samples) -> None:
        """Some 32 ms of it, float32[n] at 16 kHz."""
        self._lately.append(10 ** (a_level(chunk, SAMPLE_RATE) / 10))

    @property
    def level_db(self) -> float | None:
        """The mean level of the last seconds without their loudest moments; None: not known yet."""
        lately = sorted(self._lately.copy())
        if len(lately) < LEAST_CHUNKS:
            return None
        kept = lately[: max(1, int(len(lately) * (1 - SPARED)))]
        return max(SILENCE_DB, 10 * log10(sum(kept) / len(kept) + 1e-10))


class Loudness:
    """Makes sounds as loud as they should be. `least_db` and `most_db` are levels as they are played."""

    def __init__(
        self,
        noise: RoomNoise,
        way_db: Callable[[], float | None],
        *,
        least_db: float,
        most_db: float,
    ) -> None:
        self._noise = noise
        self._way_db = way_db
        self._least_db = least_db
        self._most_db = most_db

    def level_db(self, manner: Manner = PLAIN) -> float:
        """The level at which to play now."""
        noise, way = self._noise.level_db, self._way_db()
        usual = OWN_RMS_DB
        if noise is not None and way is not None:
            usual = noise + ABOVE_DB - way + (OWN_RMS_DB - OWN_A_DB)
        softer = WHISPER_DB if manner.is_whisper else 0.0
        wanted = min(self._most_db, max(self._least_db, usual)) + manner.louder_db + softer
        return min(self._most_db, max(self._least_db + softer, wanted))

    def fitted(self, sound: Sound, manner: Manner = PLAIN) -> Sound:
        """The sound at that level, its peaks held below full scale."""
        return sound.scaled(10 ** ((self.level_db(manner) - OWN_RMS_DB) / 20)).held()


def keep_way(path: Path, way_db: float) -> None:
    """Keep what a soundcheck measured; nothing depends on it being kept."""
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps({"way_db": round(way_db, 1)}))


def kept_way(path: Path) -> float | None:
    """What the last soundcheck measured; None if there was none, or nothing that can be read."""
    try:
        found = json.loads(path.read_text())["way_db"]
        return float(found) if -90.0 <= float(found) <= 40.0 else None
    except (OSError, ValueError, KeyError, TypeError):
        return None
