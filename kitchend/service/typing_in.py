"""Typed lines: each becomes a phrase that needs no address; the end of them is told once."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import TextIO

from kitchend.core.events import Event, PhraseHeard
from kitchend.service.guard import attempt
from kitchend.service.ports import Clock, Complain

MAX_WORDS = 2000
"""Characters of a line that are looked at; the rest is no command."""


def read_typed(
    lines: TextIO,
    clock: Clock,
    put: Callable[[Event], None],
    *,
    at_end: Callable[[], None],
    complain: Complain,
) -> Thread:
    """Start reading in a thread of its own, which ends with the lines."""

    def read() -> None:
        for line in lines:
            words = " ".join(line[:MAX_WORDS].split())
            if words:
                put(PhraseHeard(text=words, started=clock.now().instant, is_typed=True))

    def job() -> None:
        attempt(read, complain=complain, doing="read what is typed")
        at_end()

    thread = Thread(target=job, name="typed lines", daemon=True)
    thread.start()
    return thread
