"""Turns SIGTERM and SIGINT into a wish to stop while a dinner runs. A second SIGINT is obeyed at once."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


class Caught:
    """Which signal came, 0 while none has."""

    def __init__(self) -> None:
        self.number = 0


@contextmanager
def stop_on_signals(stop: Callable[[], None]) -> Iterator[Caught]:
    """While inside, call `stop` (it must be safe in a signal handler) instead of dying; main thread only."""
    caught = Caught()

    def handle(number: int, frame: FrameType | None) -> None:
        if caught.number and number == signal.SIGINT:
            raise KeyboardInterrupt
        caught.number = number
        stop()

    before = {number: signal.signal(number, handle) for number in (signal.SIGTERM, signal.SIGINT)}
    try:
        yield caught
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
