"""Begins to load the second ear while the rest of the service is still being put together.

It is what takes longest at a start, and most of it is work that needs no Python. Whoever builds ears takes
the one that was begun, once; any later ears get one of their own. Without a microphone none is begun.
"""

from __future__ import annotations

from concurrent.futures import Future
from threading import Lock, Thread

from kitchend.hearing import second_ear
from kitchend.hearing.ports import SecondEar
from kitchend.service.devices import check_device
from kitchend.service.guard import attempt
from kitchend.service.lean_memory import lean_memory
from kitchend.service.means import choose, folder_of
from kitchend.service.settings import Settings
from kitchend.service.supervisor import EARS


class EarlyEar:
    """At most one second ear that is on its way, and the settings it is for."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._begun: tuple[Settings, Future[SecondEar | None]] | None = None

    def begin(self, settings: Settings) -> None:
        """Begin, where the settings and this machine are for a second ear; returns at once."""
        if settings.ears == "first":
            return
        lean_memory()  # before the first thread, which this one is
        coming: Future[SecondEar | None] = Future()
        with self._lock:
            self._begun = settings, coming
        # A part's name: a process that ends need not wait for a device that hangs here.
        Thread(target=_load, args=(settings, coming), name=EARS, daemon=True).start()

    def make(self, settings: Settings) -> SecondEar:
        """The one that was begun, when it is there, else a new one. DeviceError if there can be none."""
        with self._lock:
            begun, self._begun = self._begun, None
        early = begun[1].result() if begun is not None and begun[0] is settings else None
        return early or _second_ear(settings)


EARLY = EarlyEar()
"""This process's."""


def _load(settings: Settings, coming: Future[SecondEar | None]) -> None:
    """Whatever fails here is tried again, and told, by whoever builds the ears."""
    made: list[SecondEar] = []

    def load() -> None:
        check_device(settings.input, kind="input")
        if choose(settings)[0].ears == "first":
            return
        made.append(_second_ear(settings))

    attempt(load, complain=lambda line: None, doing="load the second ear early")
    coming.set_result(made[0] if made else None)


def _second_ear(settings: Settings) -> SecondEar:
    return second_ear(folder_of(settings.whisper_folder), settings.language)
