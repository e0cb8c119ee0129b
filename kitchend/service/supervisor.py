"""Keeps the parts that may fail at work: the ears and the mouth. The only place that starts them again.

Each part runs in a thread of its own and gives signs of life. One that ends with an error, or gives no sign
for too long, is stopped and started again after a pause that grows with every failure in a row; a good while
of work makes the pauses short again. Told is only what changed, and of a part that fails again soon after it
came back only once it has worked for a while. A thread that hangs cannot be ended and is left behind.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from threading import Event, Lock, Thread
from threading import enumerate as enumerate_threads
from typing import Protocol

from kitchend.service.guard import attempt, log

PAUSES_S = (0.5, 1.0, 2.0, 4.0, 8.0, 15.0, 30.0)
"""Before each start after a failure; the last one stays."""

HEALTHY_S = 60.0
"""A part that worked this long has got over its earlier failures."""

PROVEN_S = (0.0, 0.0, 4.0, 8.0, 15.0, 30.0)
"""How long a part works before it is told that it does, by how often it soon failed again; the last stays."""

AT_START = 4.0
"""So many times as long a part may be still before its first sign of life: a busy board loads slowly."""

LOOK_S = 0.25

EARS, MOUTH = PARTS = ("ears", "mouth")
"""The parts of a house, as their threads are called too."""


class Run(Protocol):
    """One run of a part, from its start to its end."""

    def work(self, alive: Callable[[], None]) -> None:
        """Work until `stop`, calling `alive` all the time from when it works on. Raises to fail."""
        ...

    def stop(self) -> None:
        """Let `work` return soon; from any thread, even before it began, and even if it hangs."""
        ...


Change = Callable[[bool, str], None]
"""Told whether the part works now, and in one line why not."""


@dataclass(slots=True, kw_only=True, eq=False)
class Charge:
    """One part in the supervisor's care."""

    name: str
    make: Callable[[], Run]
    on_change: Change
    patience_s: float
    works: bool | None = None
    why: str = ""
    failures: int = 0
    relapses: int = 0
    settled: Event = field(default_factory=Event)


class Supervisor:
    """Runs parts until `close`. `seconds` tells running time."""

    def __init__(self, seconds: Callable[[], float], pauses_s: Sequence[float] = PAUSES_S) -> None:
        self._seconds = seconds
        self._pauses_s = tuple(pauses_s)
        self._closed = Event()
        self._lock = Lock()
        self._keepers: list[Thread] = []

    def keep(self, name: str, make: Callable[[], Run], on_change: Change, *, patience_s: float) -> Charge:
        """Start a part and keep it at work: `make` makes each run.

        A run may be still for `patience_s`, and for longer before its first sign of life.
        """
        charge = Charge(name=name, make=make, on_change=on_change, patience_s=patience_s)
        keeper = Thread(target=self._keep, args=(charge,), name=f"{name} keeper", daemon=True)
        self._keepers.append(keeper)
        keeper.start()
        return charge

    def close(self) -> None:
        """Stop every part; one that hangs is not waited for."""
        self._closed.set()
        for keeper in self._keepers:
            keeper.join(timeout=2 * LOOK_S + 5)

    def _keep(self, charge: Charge) -> None:
        while not self._closed.is_set():
            started = self._seconds()
            one = _One(charge, self._seconds, self._works)
            why = one.see_through(self._closed)
            if why is None:
                continue
            if one.has_worked:
                charge.relapses += 1
            if charge.works and self._seconds() - started > HEALTHY_S:
                charge.failures, charge.relapses = 0, 1
            self._failed(charge, why)
            self._closed.wait(self._pauses_s[min(charge.failures, len(self._pauses_s)) - 1])

    def _works(self, charge: Charge) -> None:
        self._change(charge, works=True, why="")

    def _failed(self, charge: Charge, why: str) -> None:
        charge.failures += 1
        self._change(charge, works=False, why=why)

    def _change(self, charge: Charge, *, works: bool, why: str) -> None:
        with self._lock:
            is_news = (charge.works, charge.why) != (works, why)
            charge.works, charge.why = works, why
        if is_news:
            charge.on_change(works, why)
        charge.settled.set()


class _One:
    """One run of one part."""

    def __init__(self, charge: Charge, seconds: Callable[[], float], works: Callable[[Charge], None]) -> None:
        self._charge = charge
        self._seconds = seconds
        self._works = works
        self._seen_at = seconds()
        self._patience_s = AT_START * charge.patience_s
        self._is_over = Event()
        self._is_left = False
        self._why: str | None = None
        self._worked_at: float | None = None

    def see_through(self, closed: Event) -> str | None:
        """Why the run failed; None if it ended in peace."""
        made: list[Run] = []
        thread = Thread(target=self._work, args=(made,), name=self._charge.name, daemon=True)
        thread.start()
        while not self._is_over.wait(LOOK_S):
            is_still = self._seconds() - self._seen_at > self._patience_s
            if closed.is_set() or is_still:
                if is_still:
                    _log_where(thread)
                _stop(made)
                # Ended by itself when asked: then it was slow and does not hang.
                self._is_over.wait(5 if closed.is_set() else LOOK_S)
                self._is_left = True
                return f"{self._charge.name}: it hangs, and is started again" if is_still else None
        return self._why

    @property
    def has_worked(self) -> bool:
        """Whether it ever gave a sign of life."""
        return self._worked_at is not None

    def _work(self, made: list[Run]) -> None:
        def run() -> None:
            made.append(self._charge.make())
            made[0].work(self._alive)

        def note(line: str) -> None:
            self._why = line

        attempt(run, complain=note, doing=f"run the {self._charge.name}")
        self._is_over.set()

    def _alive(self) -> None:
        self._seen_at = self._seconds()
        self._patience_s = self._charge.patience_s
        if self._worked_at is None:
            self._worked_at = self._seen_at
        proven_s = PROVEN_S[min(self._charge.relapses, len(PROVEN_S) - 1)]
        if not self._is_left and self._seen_at - self._worked_at >= proven_s:
            self._works(self._charge)


def leave_stuck(parts: Sequence[str], code: int, leave: Callable[[int], object] = os._exit) -> None:
    """End the process at once with this exit code if a thread of one of these parts hangs in it.

    Leaving in order would have the library that hangs close what it hangs in, and so never end.
    """
    stuck = [thread for thread in enumerate_threads() if thread.name in parts and thread.daemon]
    for thread in stuck:
        thread.join(timeout=LOOK_S)
    if any(thread.is_alive() for thread in stuck):
        log.error("left at once: %s", ", ".join(thread.name for thread in stuck))
        sys.stdout.flush()
        sys.stderr.flush()
        leave(code)


def _log_where(thread: Thread) -> None:
    """Keep for whoever mends it where a part hangs."""
    frame = sys._current_frames().get(thread.ident or 0)
    log.error("%s hangs at\n%s", thread.name, "".join(traceback.format_stack(frame)) if frame else "?")


def _stop(made: list[Run]) -> None:
    for run in made:
        attempt(run.stop, complain=lambda line: None, doing="stop a part that hangs")
