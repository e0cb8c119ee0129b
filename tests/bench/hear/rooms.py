"""Simulated rooms: how a box of a kitchen answers a sound, by the method of image sources.

J. B. Allen and D. A. Berkley, "Image method for efficiently simulating small-room acoustics", Journal of the
Acoustical Society of America 65 (1979). All six walls swallow the same share of what meets them; Eyring's
formula says how long a sound then takes to die away, which tests compare.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from tests.bench.hear.corpus import Part

SOUND_M_S = 343.0
RUMBLE_HZ = 100.0
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A box in metres with a mouth and a microphone in it; `absorption` of energy at every wall."""

    name: str
    size: Point
    absorption: float
    mouth: Point
    microphone: Point
    part: Part

    @property
    def reverberation_s(self) -> float:
        """The time to fall by 60 dB, by Eyring's formula (1930)."""
        a, b, c = self.size
        surface = 2 * (a * b + b * c + a * c)
        return float(0.161 * a * b * c / (-surface * np.log(1 - self.absorption)))


ROOMS = (
    Room(
        name="galley",
        size=(2.2, 3.4, 2.4),
        absorption=0.35,
        mouth=(1.1, 2.6, 1.6),
        microphone=(0.4, 1.2, 1.1),
        part="tune",
    ),
    Room(
        name="square",
        size=(4.1, 3.9, 2.5),
        absorption=0.3,
        mouth=(2.9, 2.1, 1.5),
        microphone=(0.9, 1.4, 1.2),
        part="tune",
    ),
    Room(
        name="long",
        size=(3.0, 5.6, 2.6),
        absorption=0.32,
        mouth=(1.9, 3.2, 1.6),
        microphone=(0.7, 1.7, 1.0),
        part="report",
    ),
    Room(
        name="tiled",
        size=(3.3, 3.1, 2.4),
        absorption=0.22,
        mouth=(2.4, 1.0, 1.6),
        microphone=(0.8, 1.9, 1.1),
        part="report",
    ),
)


def response(room: Room, longest_s: float = 0.5) -> NDArray[np.float64]:
    """What reaches the microphone of one click of the mouth, float64[n] at 16 kHz, 1 at a metre."""
    reach = SOUND_M_S * longest_s
    ranges = [np.arange(-int(reach / (2 * side)) - 1, int(reach / (2 * side)) + 2) for side in room.size]
    found = np.zeros(int(longest_s * SAMPLE_RATE) + 2)
    bounced = np.sqrt(1.0 - room.absorption)
    for flips in np.ndindex(2, 2, 2):
        axes = [
            _along(flip, room.size[i], room.mouth[i], room.microphone[i], ranges[i])
            for i, flip in enumerate(flips)
        ]
        far = np.sqrt(sum(np.ix_(*(a[0] ** 2 for a in axes))))
        walls = sum(np.ix_(*(a[1] for a in axes)))
        _put(found, far, bounced**walls)
    return _without_rumble(found)


def _without_rumble(clicked: NDArray[np.float64]) -> NDArray[np.float64]:
    """All images push the same way, which piles up below every tone; Allen and Berkley take it out too."""
    size = 2 * len(clicked)
    spectrum = np.fft.rfft(clicked, size)
    hz = np.fft.rfftfreq(size, 1 / SAMPLE_RATE)
    gain = (hz / RUMBLE_HZ) ** 4 / (1 + (hz / RUMBLE_HZ) ** 4)
    kept: NDArray[np.float64] = np.fft.irfft(spectrum * gain, size)[: len(clicked)]
    return kept


def _along(
    flip: int, side: float, mouth: float, microphone: float, number: NDArray[Any]
) -> tuple[NDArray[Any], NDArray[Any]]:
    """How far the images lie from the microphone along one side, and how many walls lie between."""
    far = (1 - 2 * flip) * mouth + 2 * number * side - microphone
    return far, np.abs(number - flip) + np.abs(number)


def _put(found: NDArray[np.float64], far: NDArray[np.float64], strength: NDArray[np.float64]) -> None:
    at = far / SOUND_M_S * SAMPLE_RATE
    whole = np.floor(at).astype(int)
    inside = whole + 1 < len(found)
    part, amount = (at - whole)[inside], (strength / np.maximum(far, 0.1))[inside]
    np.add.at(found, whole[inside], amount * (1 - part))
    np.add.at(found, whole[inside] + 1, amount * part)


def heard_in(sound: Samples, clicked: NDArray[np.float64]) -> Samples:
    """A sound as the room gives it to the microphone, at the level it had."""
    size = 1 << (len(sound) + len(clicked)).bit_length()
    wet = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(clicked, size), size)
    wet = wet[: len(sound) + len(clicked)]
    gain = np.sqrt(np.mean(sound**2) / max(float(np.mean(wet[: len(sound)] ** 2)), 1e-12))
    levelled: Samples = (wet * gain).astype(np.float32)
    return levelled
