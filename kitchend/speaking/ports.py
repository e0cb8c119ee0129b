"""The shapes of what speaks: a voice makes sound, a player puts it into the air, a mouth does both in order.

Only shapes, no code. Real and in-memory adapters pass the same contract tests. Times are never read here:
who wants to know when a sound began reads its own clock when it is told.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

from kitchend.speaking.sound import Sound

__all__ = ["PLAIN", "Fit", "Manner", "Mouth", "OnDone", "OnStarted", "Player", "Sound", "Voice"]

OnStarted = Callable[[float], None]
"""Told, once, in how many seconds from now the first sample leaves the loudspeaker, by the device's word."""

OnDone = Callable[[bool], None]
"""Told, once, that it is over: True when all of it was heard, False when it was stopped or failed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How something is to be said: so much louder than usual (negative: softer), or whispered."""

    louder_db: float = 0.0
    is_whisper: bool = False


PLAIN: Final = Manner()

WHISPER_DB: Final = -14.0
"""How much softer kitchend speaks where it is to whisper. A choice, not a figure of a standard: twice what a
voice falls by from normal to relaxed (60 to 54 dB at a metre in ISO 9921, from memory), and a little."""

Fit = Callable[[Sound, Manner], Sound]
"""Makes a sound as loud as it should be said in this manner, here and now."""


class Voice(Protocol):
    """Turns words into sound."""

    def render(self, text: str) -> Sound:
        """The words as sound; empty for text without words. Raises DeviceError when the engine is missing."""
        ...


class Player(Protocol):
    """Puts one sound at a time into the air."""

    def play(self, sound: Sound, on_started: OnStarted | None = None) -> None:
        """Return when the last sample has left, or after `stop`. Raises DeviceError when the device fails."""
        ...

    def stop(self) -> None:
        """End what is playing at once; nothing happens when nothing plays."""
        ...


class Mouth(Protocol):
    """Says one thing at a time, in the order asked; `say` returns at once and never raises for a device."""

    def say(
        self,
        text: str,
        kind: str | None = None,
        *,
        manner: Manner = PLAIN,
        on_started: OnStarted | None = None,
        on_done: OnDone | None = None,
    ) -> None:
        """Say `text`, after the chime for `kind` if there is one. Callbacks come from another thread."""
        ...

    def stop(self) -> None:
        """End what is being said and forget what is waiting; each is told False."""
        ...

    def close(self) -> None:
        """Stop, and let go of voice and player. Nothing can be said afterwards."""
        ...
