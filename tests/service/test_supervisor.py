"""The supervisor: parts that crash, hang and come back, with made-up parts and pauses of no length."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from queue import SimpleQueue
from threading import Event, Thread

import pytest

from kitchend.errors import DeviceError
from kitchend.service.supervisor import EARS, PARTS, PAUSES_S, Supervisor, leave_stuck
from kitchend.service.wall_clock import running_s

SOON_S = 10.0
GONE = DeviceError("microphone", "there is none", "plug one in")


class Part:
    """Works until stopped, or until told how to go wrong."""

    def __init__(self, ends: BaseException | None = None, *, hangs: bool = False) -> None:
        self.has_begun = Event()
        self.is_stopped = Event()
        self._ends = ends
        self._hangs = hangs

    def work(self, alive: Callable[[], None]) -> None:
        if self._ends is not None:
            raise self._ends
        alive()
        self.has_begun.set()
        while not self.is_stopped.wait(0.01):
            if not self._hangs:
                alive()

    def stop(self) -> None:
        self.is_stopped.set()


class Told:
    """Every change, in order."""

    def __init__(self) -> None:
        self.changes: SimpleQueue[tuple[bool, str]] = SimpleQueue()

    def __call__(self, works: bool, why: str) -> None:
        self.changes.put((works, why))

    def next(self) -> tuple[bool, str]:
        return self.changes.get(timeout=SOON_S)


@pytest.fixture
def supervisor() -> Iterator[Supervisor]:
    """Starts everything again at once."""
    supervisor = Supervisor(running_s, pauses_s=(0.0,))
    yield supervisor
    supervisor.close()


def test_a_part_that_is_missing_is_told_once_and_used_when_it_comes(supervisor: Supervisor) -> None:
    runs = iter([Part(GONE), Part(GONE), Part(GONE), Part()])
    told = Told()
    supervisor.keep("ears", lambda: next(runs), told, patience_s=SOON_S)
    assert told.next() == (False, "microphone: there is none; plug one in")
    assert told.next() == (True, "")
    assert told.changes.empty()


def test_a_part_that_crashes_is_a_line_and_is_started_again(supervisor: Supervisor) -> None:
    runs = iter([Part(ZeroDivisionError("oops")), Part()])
    told = Told()
    supervisor.keep("ears", lambda: next(runs), told, patience_s=SOON_S)
    works, why = told.next()
    assert not works
    assert why.startswith("this is a bug, could not run the ears: ZeroDivisionError: oops")
    assert told.next() == (True, "")


class Relapsing(Part):
    """Works for a moment, then fails."""

    def work(self, alive: Callable[[], None]) -> None:
        alive()
        raise GONE


def test_a_part_that_fails_again_and_again_as_soon_as_it_is_back_is_not_told_of_each_time(
    supervisor: Supervisor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kitchend.service.supervisor.PROVEN_S", (0.0, 0.0, 0.2))
    runs = iter([*(Relapsing() for _ in range(6)), last := Part()])
    told = Told()
    supervisor.keep("ears", lambda: next(runs), told, patience_s=SOON_S)
    assert last.has_begun.wait(SOON_S)
    assert [told.next()[0] for _ in range(5)] == [True, False, True, False, True]
    assert told.changes.empty()


def test_a_part_that_hangs_is_left_behind(supervisor: Supervisor) -> None:
    stuck = Part(hangs=True)
    runs = iter([stuck, Part()])
    told = Told()
    supervisor.keep("mouth", lambda: next(runs), told, patience_s=0.1)
    assert [told.next(), told.next(), told.next()] == [
        (True, ""),
        (False, "mouth: it hangs, and is started again"),
        (True, ""),
    ]
    assert stuck.is_stopped.is_set()


class Slow(Part):
    """Takes a while to load, then works; or never comes to work."""

    def __init__(self, load: Event, *, loads_for_s: float) -> None:
        super().__init__()
        self._load = load
        self._loads_for_s = loads_for_s

    def work(self, alive: Callable[[], None]) -> None:
        self._load.wait(self._loads_for_s)
        super().work(alive)


def test_a_part_that_loads_for_longer_than_it_may_be_still_later_does_not_hang(
    supervisor: Supervisor,
) -> None:
    told, load = Told(), Event()
    supervisor.keep("ears", lambda: Slow(load, loads_for_s=2.0), told, patience_s=1.0)
    assert told.next() == (True, "")
    assert told.changes.empty()


def test_a_part_that_never_gets_to_work_is_left_behind(supervisor: Supervisor) -> None:
    told, load = Told(), Event()
    runs = iter((Slow(load, loads_for_s=SOON_S), Part()))
    supervisor.keep("ears", lambda: next(runs), told, patience_s=0.1)
    assert told.next() == (False, "ears: it hangs, and is started again")
    assert told.next() == (True, "")
    load.set()


def test_a_part_that_ends_in_peace_is_started_again_without_a_word(supervisor: Supervisor) -> None:
    first, second = Part(), Part()
    runs = iter([first, second])
    told = Told()
    supervisor.keep("ears", lambda: next(runs), told, patience_s=SOON_S)
    assert told.next() == (True, "")
    first.stop()
    assert second.has_begun.wait(SOON_S)
    supervisor.close()
    assert told.changes.empty()


def test_closing_stops_every_part() -> None:
    supervisor = Supervisor(running_s)
    parts = [Part(), Part()]
    for part in parts:
        charge = supervisor.keep("part", lambda part=part: part, Told(), patience_s=SOON_S)  # type: ignore[misc]
        assert charge.settled.wait(SOON_S)
    supervisor.close()
    assert all(part.is_stopped.is_set() for part in parts)


def test_pauses_grow() -> None:
    assert list(PAUSES_S) == sorted(set(PAUSES_S))


def test_every_failure_in_a_row_makes_the_pause_longer() -> None:
    supervisor = Supervisor(running_s, pauses_s=(0.0, 0.0, 3600.0))
    made: SimpleQueue[Part] = SimpleQueue()

    def make() -> Part:
        made.put(Part(GONE))
        return Part(GONE)

    charge = supervisor.keep("ears", make, Told(), patience_s=SOON_S)
    for _ in range(3):
        made.get(timeout=SOON_S)
    assert charge.settled.wait(SOON_S)
    supervisor.close()
    assert charge.failures == 3
    assert made.empty()


def test_a_part_that_hangs_does_not_keep_the_process_from_ending() -> None:
    free, codes = Event(), SimpleQueue[int]()
    hung = Thread(target=free.wait, name=EARS, daemon=True)
    hung.start()
    leave_stuck(PARTS, 3, codes.put)
    assert codes.get_nowait() == 3
    free.set()
    hung.join()
    leave_stuck(PARTS, 3, codes.put)
    assert codes.empty()
