"""Keeps a conversation as sound: both voices and the chimes, its long silences shortened.

Written as it happens, so that a dinner of hours needs no more memory than one sentence. Sounds are added in
the order of their beginnings; one that would begin inside the one before it begins right after it. 16 bit,
mono.
"""

from __future__ import annotations

import wave
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from kitchend.core.clock import Instant
from kitchend.speaking.sound import Sound, silence

RATE: Final = 22_050
"""Samples a second of the file: what the default voice speaks at."""

LONGEST_SILENCE_S: Final = 1.5


class Recording:
    """A WAV file that grows by one sound at a time. Raises OSError when the file cannot be written."""

    def __init__(self, path: Path) -> None:
        # Opened here because a Wave_write that could not open its file complains once more when it is let go.
        self._disk = path.open("wb")
        self._file = wave.open(self._disk, "wb")  # noqa: SIM115 - open as long as the recording is
        self._file.setnchannels(1)
        self._file.setsampwidth(2)
        self._file.setframerate(RATE)
        self._ended: Instant | None = None

    def add(self, sound: Sound, at: Instant) -> None:
        """Keep a sound that began at `at`."""
        if self._ended is not None:
            gap_s = min(max(0.0, at - self._ended), LONGEST_SILENCE_S)
            self._file.writeframes(silence(gap_s, RATE).pcm16())
        self._file.writeframes(sound.resampled(RATE).pcm16())
        self._ended = at + sound.duration_s

    def close(self) -> None:
        """Finish the file."""
        self._file.close()
        self._disk.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
