"""What the runner needs from the world, as Protocols of one to three methods.

No adapter and no kitchen rule may enter here. Each port has an adapter in `memory` and a real one; both pass
the same contract tests. Methods may be called from any thread unless they say otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.effects import CallKind, OpenPlan
from kitchend.core.events import Event
from kitchend.core.forecasts import Forecast
from kitchend.core.phrases import Sayable
from kitchend.core.plan import Plan, StepId
from kitchend.core.state import DinnerState
from kitchend.core.timeline import Timeline
from kitchend.speaking.ports import PLAIN, Manner

Ring = Callable[[], None]
"""What an alarm calls when its instant has come."""

SpeechDone = Callable[[bool], None]
"""What a mouth calls once an utterance has ended: True if all was said, False if it was stopped or failed."""

Complain = Callable[[str], None]
"""Takes one line about something that went wrong, for the person at the screen."""


class Clock(Protocol):
    """Knows the time, both kinds."""

    def now(self) -> Now:
        """The present. Its instants never go back, not even over a restart."""
        ...


class Alarms(Protocol):
    """Rings once, at the instant wished for last."""

    def wake_at(self, at: Instant | None, ring: Ring) -> None:
        """Call `ring` once when `at` has come, and forget any earlier wish; None: no wish."""
        ...

    def check(self) -> None:
        """Look again whether the instant has come; called now and then, in case the wall clock was moved."""
        ...

    def close(self) -> None:
        """Stop for good; nothing rings afterwards."""
        ...


class Journal(Protocol):
    """Keeps every event of the dinner that is on."""

    def append(self, event: Event, now: Now) -> None:
        """Keep an event; once this returns it survives a power cut."""
        ...

    def events(self) -> Iterator[tuple[Event, Now]]:
        """What was kept since the last finish, in order."""
        ...

    def finish(self, now: Now) -> None:
        """Put the events away if there was a dinner among them, else drop them; the journal is empty then."""
        ...


class Pulse(Protocol):
    """Remembers when kitchend was last alive, roughly."""

    def beat(self, now: Now) -> None:
        """Still here; called often, kept about once a minute."""
        ...

    def last(self) -> Now | None:
        """The last present that was kept; None if nobody knows."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """What the first `count` events of the journal add up to; the last of them happened at `now`."""

    count: int
    now: Now
    state: DinnerState
    has_ended: bool
    opening: OpenPlan | None


class Snapshots(Protocol):
    """Keeps the last snapshot, if it can: a cache, never the truth."""

    def keep(self, snapshot: Snapshot) -> None:
        """Keep it in place of the one before; never fails."""
        ...

    def last(self) -> Snapshot | None:
        """The last one; None if there is none that can be used."""
        ...

    def forget(self) -> None:
        """Remove it: its journal was put away."""
        ...


class Mouth(Protocol):
    """Says one thing at a time."""

    def prepare(self, texts: Sequence[str]) -> None:
        """These are likely to be said soon, the soonest first: have them ready where that takes time."""
        ...

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Begin to say `text` and return; call `on_done` exactly once when it has ended, even if stopped."""
        ...

    def stop(self) -> None:
        """Stop what is being said, at once; nothing happens if nothing is."""
        ...


class Listener(Protocol):
    """Turns sound into phrases; hands them over by itself."""

    def listen_for(self, sayable: Sayable) -> None:
        """From now on listen for these phrases."""
        ...

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks."""
        ...


class Planner(Protocol):
    """Makes timelines, and forecasts of what ends by a reading."""

    def first(self, plan: Plan, serve: WallTime | None, now: Now) -> Timeline:
        """The whole dinner for a pass at `serve`; None: as early as it can be."""
        ...

    def rest(self, state: DinnerState, now: Now) -> Timeline:
        """What is left of the dinner that is on."""
        ...

    def forecast(self, state: DinnerState, step: StepId, now: Now) -> Forecast:
        """When the core of a step that ends by a reading is expected to be there."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A plan and the file it came from."""

    plan: Plan
    source: str


class Plans(Protocol):
    """The plans that may be started by name."""

    def names(self) -> tuple[str, ...]:
        """Their spoken names, in order."""
        ...

    def open(self, name: str) -> Opened:
        """The plan of this name; PlanError if it has problems or is not there."""
        ...
