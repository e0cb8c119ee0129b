"""The newest reading of each name, and not more often than is good for the journal.

An old reading is worth nothing once there is a newer one. So nothing piles up behind a service that is slow
or away: a reading waits until its name's turn has come, and is replaced by the next. Any thread may put and
take.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock

from kitchend.service.taking import ReadingError, Taking

MOST_NAMES = 64
"""No kitchen has more thermometers; a program that makes names up has gone wrong."""


class Newest:
    """Keeps one reading a name, given out at most once in `every_s`. `seconds` tells running time."""

    def __init__(self, every_s: float, seconds: Callable[[], float]) -> None:
        self._every_s = every_s
        self._seconds = seconds
        self._lock = Lock()
        self._waiting: dict[str, Taking] = {}
        self._given_at: dict[str, float] = {}

    def put(self, taking: Taking) -> None:
        """Keep it in place of the one before; ReadingError once there are too many names."""
        with self._lock:
            known = {*self._waiting, *self._given_at}
            if taking.of not in known and len(known) >= MOST_NAMES:
                raise ReadingError(
                    "names", f"more than {MOST_NAMES} names, no kitchen has so many thermometers"
                )
            self._waiting[taking.of] = taking

    def put_back(self, taking: Taking) -> None:
        """It could not be handed in: keep it, unless a newer one has come."""
        with self._lock:
            self._waiting.setdefault(taking.of, taking)
            self._given_at.pop(taking.of, None)

    def due(self, *, at_once: bool = False) -> tuple[Taking, ...]:
        """The readings whose turn it is, or `at_once` all there are; each is given out once."""
        with self._lock:
            now = self._seconds()
            ready = [name for name in self._waiting if at_once or self._is_due(name, now)]
            self._given_at.update(dict.fromkeys(ready, now))
            return tuple(self._waiting.pop(name) for name in ready)

    @property
    def is_empty(self) -> bool:
        """Whether nothing waits."""
        with self._lock:
            return not self._waiting

    def _is_due(self, name: str, now: float) -> bool:
        given = self._given_at.get(name)
        return given is None or now - given >= self._every_s
