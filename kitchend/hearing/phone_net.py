"""Which phones sound when: a small network that learned them in kitchens, in plain numpy.

Two convolutions over mel bands, then seven blocks of a convolution over time, band by band, and two layers
(Z. Liu et al., "A ConvNet for the 2020s", CVPR 2022, has such blocks for pictures). It sees 0.6 s to either
side of each frame of 30 ms. What it learned from is told in `tests/bench/hear/phones/train.py`.
"""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from kitchend.hearing.mel import Floats, log_mel
from kitchend.hearing.ports import Samples

NUMBERS = Path(__file__).with_name("phones-en.npz")
_SHORTEST = 1600
"""Samples; what is shorter is filled up with silence."""
AFTER = 15
"""Frames of 10 ms without sound that follow: it learned from phrases filled up so."""
NEAR, WIDE, ACROSS, STEP = 5, 7, 9, 3
SPREAD = (1, 1, 2, 1, 2, 1, 1)
"""How many frames apart each block looks."""


class PhoneNet:
    """The network; its numbers are float32 in memory, 14 MB."""

    def __init__(self, numbers: Path = NUMBERS) -> None:
        with np.load(numbers) as kept:
            self._kept: dict[str, Floats] = {name: kept[name].astype(np.float32) for name in kept.files}

    def __call__(self, phrase: Samples) -> Floats:
        """float32[frames, 40]: log chances of the blank and of each phone, a frame each 30 ms."""
        bands = log_mel(np.pad(phrase, (0, max(0, _SHORTEST - len(phrase))))).T * 4.0  # as powers of ten
        bands -= bands.mean(axis=0)
        return self.of_bands(bands)

    def of_bands(self, bands: Floats) -> Floats:
        """The same of float32[n, 80], mel bands as powers of ten over their mean."""
        found = np.maximum(self._layer("near", _seen(np.pad(bands, ((0, AFTER), (0, 0))), NEAR)), 0.0)
        found = self._layer("wide", _seen(found, WIDE, STEP))
        for block, apart in enumerate(SPREAD):
            found += self._block(f"block_{block}", found, apart)
        found = self._layer("phones", self._normed("phones", found))[: len(bands) // STEP]
        found -= found.max(axis=1, keepdims=True)
        log_chances: Floats = found - np.log(np.exp(found).sum(axis=1, keepdims=True))
        return log_chances

    def _block(self, name: str, given: Floats, apart: int) -> Floats:
        reach = ACROSS // 2 * apart
        padded, across = np.pad(given, ((reach, reach), (0, 0))), self._kept[f"{name}/across"]
        mixed = np.zeros_like(given)
        for place in range(ACROSS):
            mixed += padded[place * apart : place * apart + len(given)] * across[place]
        thought = np.maximum(self._layer(f"{name}/up", self._normed(name, mixed)), 0.0)
        return self._layer(f"{name}/down", thought)

    def _layer(self, name: str, given: Floats) -> Floats:
        found: Floats = given @ self._kept[f"{name}/weight"] + self._kept[f"{name}/bias"]
        return found

    def _normed(self, name: str, given: Floats) -> Floats:
        off = given - given.mean(axis=1, keepdims=True)
        even = off / np.sqrt((off * off).mean(axis=1, keepdims=True) + np.float32(1e-5))
        found: Floats = even * self._kept[f"{name}/gain"] + self._kept[f"{name}/offset"]
        return found


def _seen(given: Floats, width: int, step: int = 1) -> NDArray[np.float32]:
    """float32[n // step, width * bands]: each frame with its neighbours."""
    padded, count = np.pad(given, ((width // 2, width // 2), (0, 0))), len(given) // step
    return np.concatenate(
        [padded[place : place + count * step : step] for place in range(width)], axis=1, dtype=np.float32
    )
