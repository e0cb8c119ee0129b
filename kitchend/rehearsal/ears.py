"""How the cook's words reach kitchend: as sound through the real listener, or typed, for thousands of
dinners.

Carries words over and says what arrived; decides nothing about them. The listener's grammar is changed only
when something is about to be heard, because making it anew is most of the work.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol

from kitchend.core.phrases import Sayable
from kitchend.speaking.sound import Sound

TYPED_WORD_S: Final = 0.35
"""How long a word is taken to last when nothing is spoken: 160 words a minute."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """What came of a phrase: the text if one was accepted (else empty), how long it took, its sound."""

    text: str
    said_s: float
    doubts: tuple[str, ...] = ()
    reason: str = ""
    sound: Sound | None = None


class Ears(Protocol):
    """Carries the cook's words to kitchend."""

    def listen_for(self, sayable: Sayable) -> None:
        """From now on expect these phrases."""
        ...

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend speaks; the stage sees to it that nothing is said then."""
        ...

    def hear(self, words: str) -> Arrived:
        """What arrives of these words."""
        ...


class TypedEars:
    """A perfect listener: what the grammar holds arrives as it was said, anything else not at all."""

    def __init__(self) -> None:
        self._wanted: Sayable | None = None

    def listen_for(self, sayable: Sayable) -> None:
        """From now on these phrases arrive."""
        self._wanted = sayable

    def deaf(self, is_deaf: bool) -> None:
        """Typed words are never drowned out."""

    def hear(self, words: str) -> Arrived:
        """The words if they were expected."""
        is_expected = self._wanted is None or self._wanted.accepts(words)
        return Arrived(
            text=words if is_expected else "",
            said_s=TYPED_WORD_S * len(words.split()),
            reason="" if is_expected else "not in the grammar",
        )
