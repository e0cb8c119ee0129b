"""What the ears are about, for screens: what is being said just now, and what they let go lately and why.

Kept in memory alone, from any thread; during a dinner the journal has what was let go as well. It is the
ears' best command that is kept, never what was said freely: a kitchen is no place to write talk down.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Any, Final

from kitchend.core.clock import WallTime

KEPT: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class LetGo:
    """A phrase that did not count: the command nearest to it ("" for none), why, and when it began."""

    text: str
    reason: str
    at: WallTime


class Overheard:
    """Written by the ears, read by whoever shows it. `on_news` is called from the thread of the ears."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._partial = ""
        self._let_go: deque[LetGo] = deque(maxlen=KEPT)
        self.on_news: Callable[[], None] = lambda: None

    @property
    def partial(self) -> str:
        """What the phrase in progress sounds like so far; "" while nobody speaks."""
        return self._partial

    @property
    def let_go(self) -> tuple[LetGo, ...]:
        """What was let go lately, the oldest first."""
        with self._lock:
            return tuple(self._let_go)

    def let_go_json(self) -> list[dict[str, Any]]:
        """The same for `kitchend status --json`."""
        return [{"at": one.at.isoformat(), "text": one.text, "reason": one.reason} for one in self.let_go]

    def hears(self, partial: str) -> None:
        """The phrase in progress sounds like this so far; "" when it has ended."""
        if partial != self._partial:
            self._partial = partial
            self.on_news()

    def lets_go(self, one: LetGo) -> None:
        """A phrase did not count."""
        with self._lock:
            self._let_go.append(one)
        self.on_news()

    def forget(self) -> None:
        """Keep nothing of what was let go."""
        with self._lock:
            self._let_go.clear()
