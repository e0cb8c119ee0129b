"""What the made-up cook means to say, in the order of time.

Keeps errands and nothing else: what is said is made at the moment of speaking, because by then it may no
longer be so. A key marks what is in hand, so that a repeated call does not start the same errand twice.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count

from kitchend.core.clock import Instant, Now
from kitchend.core.state import DinnerState
from kitchend.rehearsal.wishes import Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the cook finds when about to speak, or has just heard."""

    state: DinnerState
    now: Now


Make = Callable[[Scene], Wish | None]
"""Makes the wish at the moment of speaking; None when there is nothing to say any more."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Errand:
    """Something to say at `due`. `tries` counts the times it has not got through.

    `of` is the errand and the wish that led to a question which this one answers.
    """

    due: Instant
    order: int
    make: Make = field(compare=False)
    key: object = field(default=None, compare=False)
    tries: int = field(default=0, compare=False)
    of: tuple[Errand, Wish] | None = field(default=None, compare=False)


class Agenda:
    """Errands by time; those due together keep the order in which they were added."""

    def __init__(self) -> None:
        self._errands: list[Errand] = []
        self._order = count()

    def add(
        self,
        due: Instant,
        make: Make,
        *,
        key: object = None,
        tries: int = 0,
        of: tuple[Errand, Wish] | None = None,
    ) -> None:
        """Put down something to say at `due`."""
        errand = Errand(due=due, order=next(self._order), make=make, key=key, tries=tries, of=of)
        heapq.heappush(self._errands, errand)

    def add_before_all(self, now: Instant, make: Make) -> None:
        """Put down something to say before anything else."""
        next_due = self.next_due()
        due = now if next_due is None else min(now, next_due)
        heapq.heappush(self._errands, Errand(due=due, order=-next(self._order), make=make))

    def has(self, key: object) -> bool:
        """Whether something with this key is still to be said."""
        return any(errand.key == key for errand in self._errands)

    def next_due(self) -> Instant | None:
        """When something is to be said next; None when nothing is."""
        return self._errands[0].due if self._errands else None

    def take(self) -> Errand:
        """The soonest errand, taken off. IndexError when there is none."""
        return heapq.heappop(self._errands)
