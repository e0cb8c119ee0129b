"""Keeps what was said as sound files, for a cook who asked for it with `--keep-sound` and for nobody else.

The only place where sound from the microphone reaches the disk. A phrase is a 16 kHz WAV file, readable
by its owner alone, named by the moment it ended. A folder that cannot be written is told once.
"""

from __future__ import annotations

import os
import wave
from collections import deque
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from kitchend.core.clock import WallTime
from kitchend.errors import DeviceError
from kitchend.hearing import Heard
from kitchend.hearing.ports import SAMPLE_RATE, Samples, Source
from kitchend.service.ports import Clock, Complain

AROUND_S = 1.0
"""Kept with a phrase, most of it the pause by which its end was known."""

LONGEST_S = 60.0


class SoundKeeper:
    """Keeps phrases below `folder`, which is made; DeviceError if it cannot be."""

    def __init__(self, folder: Path, clock: Clock, complain: Complain) -> None:
        self._folder = folder
        self._clock = clock
        self._complain = complain
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as error:
            hint = "name another folder: --keep-sound DIR"
            raise DeviceError("kept sound", f"{folder} cannot be made: {error.strerror}", hint) from None

    def source(self, source: Source) -> KeptSource:
        """The source with its last minute remembered."""
        return KeptSource(source, self)

    def keep(self, samples: Samples) -> None:
        """Write one phrase, float32[n] at 16 kHz."""
        pcm = (np.clip(samples, -1.0, 1.0) * 32767).astype("<i2").tobytes()
        path = self._free(self._clock.now().wall)
        try:
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(handle, "wb") as file, wave.open(file, "wb") as sound:
                sound.setnchannels(1)
                sound.setsampwidth(2)
                sound.setframerate(SAMPLE_RATE)
                sound.writeframes(pcm)
        except OSError as error:
            self._complain(f"kept sound: {self._folder} cannot be written: {error.strerror}")

    def _free(self, wall: WallTime) -> Path:
        name = f"{wall.local:%Y-%m-%d %H.%M.%S}"
        taken = sum(1 for _ in self._folder.glob(f"{name}*.wav"))
        return self._folder / (f"{name} ({taken + 1}).wav" if taken else f"{name}.wav")


class KeptSource:
    """A source that remembers what it gave lately: a phrase is known to be one only when it has ended."""

    def __init__(self, source: Source, keeper: SoundKeeper) -> None:
        self._source = source
        self._keeper = keeper
        self._lately: deque[Samples] = deque()
        self._count = 0

    def blocks(self) -> Iterator[Samples]:
        """The source's own pieces."""
        for block in self._source.blocks():
            self._lately.append(block)
            self._count += len(block)
            while self._count - len(self._lately[0]) > LONGEST_S * SAMPLE_RATE:
                self._count -= len(self._lately.popleft())
            yield block

    @property
    def received(self) -> int:
        """As the source counts."""
        return self._source.received

    def close(self) -> None:
        """Give no more."""
        self._source.close()

    def keep(self, heard: Heard) -> None:
        """Keep the phrase that has just ended."""
        if self._lately:
            count = int((heard.audio_s + AROUND_S) * SAMPLE_RATE)
            self._keeper.keep(np.concatenate(tuple(self._lately))[-count:])
