"""Every port without a world: a clock that is moved by hand, alarms, a journal and a mouth in memory.

Used by rehearsals and tests alike. They keep the promises of the real adapters and pass the same contract
tests; nothing here waits, and nothing reads a system clock.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.effects import CallKind
from kitchend.core.events import DinnerStarted, Event
from kitchend.core.phrases import Sayable
from kitchend.errors import PlanError, Problem
from kitchend.service.ports import Clock, Opened, Ring, Snapshot, SpeechDone
from kitchend.speaking.ports import PLAIN, Manner


class SimulatedClock:
    """A clock that stands still until `advance`."""

    def __init__(self, wall: WallTime, instant: Instant | None = None) -> None:
        self._now = Now(instant or Instant(0.0), wall)

    def now(self) -> Now:
        """The present, as it was set."""
        return self._now

    def advance(self, seconds: float) -> Now:
        """Let so many seconds pass; below zero is refused with ValueError."""
        if seconds < 0:
            raise ValueError(f"time does not go back: {seconds} s")
        self._now = self._now.after(seconds)
        return self._now

    def advance_to(self, instant: Instant) -> Now:
        """Let time pass until `instant`; a past instant leaves the clock where it is."""
        return self.advance(max(0.0, instant - self._now.instant))

    def move_wall(self, seconds: float) -> None:
        """Somebody moves the hands of the clock on the wall; running time knows nothing of it."""
        self._now = Now(self._now.instant, self._now.wall + seconds)


class MemoryAlarms:
    """Rings when `check` finds that the instant has come."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._ring: Ring | None = None
        self._at: Instant | None = None

    @property
    def next_at(self) -> Instant | None:
        """The instant wished for, None if there is none or it has rung."""
        return self._at

    def wake_at(self, at: Instant | None, ring: Ring) -> None:
        """Remember the wish in place of the earlier one."""
        self._at, self._ring = at, ring

    def check(self) -> None:
        """Ring if the time has come."""
        if self._at is None or self._ring is None or self._clock.now().instant < self._at:
            return
        ring, self._at, self._ring = self._ring, None, None
        ring()

    def close(self) -> None:
        """Forget the wish."""
        self._at = self._ring = None


class MemoryJournal:
    """Keeps events as long as the process lives; finished dinners in `finished`."""

    def __init__(self) -> None:
        self._kept: list[tuple[Event, Now]] = []
        self.finished: list[tuple[tuple[Event, Now], ...]] = []

    def append(self, event: Event, now: Now) -> None:
        """Keep an event."""
        self._kept.append((event, now))

    def events(self) -> Iterator[tuple[Event, Now]]:
        """What was kept, in order."""
        return iter(tuple(self._kept))

    def finish(self, now: Now) -> None:
        """Put this dinner away."""
        if any(isinstance(event, DinnerStarted) for event, _ in self._kept):
            self.finished.append(tuple(self._kept))
        self._kept = []


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Something a mouth was asked to say."""

    text: str
    kind: CallKind
    manner: Manner = PLAIN


class MemorySnapshots:
    """Keeps the last snapshot as long as the process lives."""

    def __init__(self) -> None:
        self._last: Snapshot | None = None

    def keep(self, snapshot: Snapshot) -> None:
        """Remember it."""
        self._last = snapshot

    def last(self) -> Snapshot | None:
        """The last one."""
        return self._last

    def forget(self) -> None:
        """Know of none."""
        self._last = None


class MemoryMouth:
    """Remembers what it was asked to say and is done at once, or, when `holds`, once `finish` is called."""

    def __init__(self, *, holds: bool = False) -> None:
        self.said: list[Said] = []
        self.prepared: tuple[str, ...] = ()
        self._holds = holds
        self._on_done: SpeechDone | None = None

    def prepare(self, texts: Sequence[str]) -> None:
        """Remember what was announced last."""
        self.prepared = tuple(texts)

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Remember it."""
        self.said.append(Said(text=text, kind=kind, manner=manner))
        self._on_done = on_done
        if not self._holds:
            self.finish()

    def finish(self, ok: bool = True) -> None:
        """End what is being said, if anything is."""
        on_done, self._on_done = self._on_done, None
        if on_done is not None:
            on_done(ok)

    def stop(self) -> None:
        """End it early."""
        self.finish(ok=False)


class MemoryListener:
    """Remembers what it was told to listen for and whether it is deaf."""

    def __init__(self) -> None:
        self.asked: list[Sayable] = []
        self.is_deaf = False

    def listen_for(self, sayable: Sayable) -> None:
        """Remember the phrases."""
        self.asked.append(sayable)

    def deaf(self, is_deaf: bool) -> None:
        """Remember whether to hear."""
        self.is_deaf = is_deaf


class MemoryPlans:
    """Plans that were handed in, by their names."""

    def __init__(self, plans: Mapping[str, Opened]) -> None:
        self._plans = dict(plans)

    def names(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(self._plans)

    def open(self, name: str) -> Opened:
        """The plan of this name; PlanError if there is none."""
        if name not in self._plans:
            raise PlanError((Problem(file="plans", message=f"no plan is called {name}"),))
        return self._plans[name]

    def forget(self) -> None:
        """Lose them all, as when a folder is emptied."""
        self._plans.clear()
