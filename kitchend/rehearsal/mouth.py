"""Kitchend's mouth in a rehearsal: says things in simulated time, each for as long as it truly takes.

Renders with the real voice when it is given one, else estimates; shows each sentence as it begins and keeps
its sound. The stage ends an utterance when its time has come. Nothing is decided here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind
from kitchend.service.ports import Clock, SpeechDone
from kitchend.speaking.chimes import chime
from kitchend.speaking.ports import PLAIN, Manner, Voice
from kitchend.speaking.sound import Sound, joined

WORD_S: Final = 0.38
"""How long a word of kitchend's is taken to last when it is not rendered: 160 words a minute."""
CHIME_GAP_S: Final = 0.15

Began = Callable[[str, Now, Sound | None], None]
"""Told what is being said, since when, and its sound if there is one."""


class StageMouth:
    """Says one thing at a time; `ends_at` is when it will have been said, None while silent."""

    def __init__(self, clock: Clock, voice: Voice | None, began: Began) -> None:
        self._clock = clock
        self._voice = voice
        self._began = began
        self._on_done: SpeechDone | None = None
        self.ends_at: Instant | None = None

    def prepare(self, texts: Sequence[str]) -> None:
        """Nothing is gained by it where time is made up."""

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Begin to say `text`; it is over when the stage calls `finish`."""
        now = self._clock.now()
        sound = None if self._voice is None else spoken_sound(self._voice, text, kind)
        length_s = WORD_S * len(text.split()) if sound is None else sound.duration_s
        self._on_done, self.ends_at = on_done, now.instant + length_s
        self._began(text, now, sound)

    def finish(self, ok: bool = True) -> None:
        """End what is being said, if anything is."""
        on_done, self._on_done, self.ends_at = self._on_done, None, None
        if on_done is not None:
            on_done(ok)

    def stop(self) -> None:
        """End it early."""
        self.finish()


def spoken_sound(voice: Voice, text: str, kind: CallKind) -> Sound:
    """The sentence as it is played: its chime, if the kind has one, and the words."""
    words = voice.render(text)
    before = chime(kind.value)
    return words if before is None else joined(before, words, gap_s=CHIME_GAP_S)
