"""Prints the conversation: what was heard and what was said, with the time of day. Watches, never acts."""

from __future__ import annotations

from collections.abc import Callable

from kitchend.core.clock import Now
from kitchend.core.effects import Speak
from kitchend.core.events import PhraseHeard
from kitchend.service.runner import Stepped


class Transcript:
    """A line for each phrase and utterance; typed words only if `echoes`: a terminal shows them already."""

    def __init__(self, write: Callable[[str], None], *, echoes: bool) -> None:
        self._write = write
        self._echoes = echoes

    def __call__(self, stepped: Stepped) -> None:
        """Print what this event brought."""
        event = stepped.event
        if isinstance(event, PhraseHeard) and (self._echoes or not event.is_typed):
            self._line(stepped.now, "you", event.text)
        for effect in stepped.effects:
            if isinstance(effect, Speak):
                self._line(stepped.now, "kitchend", effect.text)

    def _line(self, now: Now, who: str, words: str) -> None:
        self._write(f"{now.wall.local:%H:%M:%S}  {who:<8}  {words}")
