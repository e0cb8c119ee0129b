"""What the board remembers beside the state: who said what lately, and whether the ears and the mouth work.

Fed by the runner's thread, read by the board's; whoever waits for news is told without being waited for. What
was heard by chance and changed nothing is not kept: the board shows a conversation, not a room.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock

from kitchend.core.effects import Speak
from kitchend.core.events import Mishap, MishapNoticed, PhraseHeard
from kitchend.core.intents import understand
from kitchend.service.overheard import Overheard
from kitchend.service.runner import Stepped

KEPT_LINES = 12

_EARS = {Mishap.CANNOT_HEAR: False, Mishap.HEARS_AGAIN: True}
_MOUTH = {Mishap.CANNOT_SPEAK: False, Mishap.SPEAKS_AGAIN: True}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing said: by the cook or by kitchend, when (seconds since 1970), and why kitchend spoke."""

    number: int
    by_cook: bool
    text: str
    at_s: float
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Senses:
    """Whether ears and mouth work; `had_ears` tells a microphone that was lost from one that never was."""

    hears: bool
    speaks: bool
    had_ears: bool


class Watcher:
    """Watches a runner. `on_news` is called from the runner's thread after every event."""

    def __init__(self, *, hears: bool, speaks: bool, overheard: Overheard | None = None) -> None:
        self._lock = Lock()
        self._lines: deque[Line] = deque(maxlen=KEPT_LINES)
        self._senses = Senses(hears=hears, speaks=speaks, had_ears=hears)
        self._count = 0
        self._overheard = overheard or Overheard()
        self.on_news: Callable[[], None] = lambda: None

    def open(self) -> None:
        """Tell of what the ears hear, too, from now on."""
        self._overheard.on_news = lambda: self.on_news()

    def close(self) -> None:
        """Tell of it no more."""
        self._overheard.on_news = lambda: None

    @property
    def partial(self) -> str:
        """What the phrase in progress sounds like so far; "" while nobody speaks."""
        return self._overheard.partial

    @property
    def lines(self) -> tuple[Line, ...]:
        """The last things said, the oldest first."""
        with self._lock:
            return tuple(self._lines)

    @property
    def senses(self) -> Senses:
        """How the ears and the mouth are."""
        return self._senses

    def see(self, stepped: Stepped) -> None:
        """Take in one event and what came of it."""
        event = stepped.event
        if isinstance(event, PhraseHeard) and _was_meant(event, stepped):
            self._add(stepped, event.text, by_cook=True)
        for effect in stepped.effects:
            if isinstance(effect, Speak):
                self._add(stepped, effect.text, by_cook=False, kind=effect.kind.value)
        if isinstance(event, MishapNoticed):
            self._notice(event.mishap)
        self.on_news()

    def _add(self, stepped: Stepped, text: str, *, by_cook: bool, kind: str = "") -> None:
        with self._lock:
            self._count += 1
            line = Line(
                number=self._count, by_cook=by_cook, text=text, at_s=stepped.now.wall.epoch_s, kind=kind
            )
            self._lines.append(line)

    def _notice(self, mishap: Mishap) -> None:
        before = self._senses
        hears, speaks = _EARS.get(mishap, before.hears), _MOUTH.get(mishap, before.speaks)
        self._senses = Senses(hears=hears, speaks=speaks, had_ears=before.had_ears or hears)


def _was_meant(event: PhraseHeard, stepped: Stepped) -> bool:
    """Whether a phrase was said to kitchend, by the rule it is obeyed by."""
    before = stepped.before
    if event.is_typed or before.window_is_open(event.started):
        return True
    return understand(event.text, before).is_addressed
