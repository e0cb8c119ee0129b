"""When a snapshot may be kept: not while something would fall due meanwhile, unless the last one is old.

With the timers of a dinner one takes a millisecond, with ten thousand a tenth of a second. Decides from
instants it is told; reads no clock.
"""

from __future__ import annotations

from kitchend.core.clock import Instant

OLD_S = 60.0
"""From here on one is kept whatever falls due: what came since must be lived through again after a crash."""

ROOM = 2.0
"""How much longer than the last one the next may take."""


class Pace:
    """Knows how long the last snapshot took and what falls due next."""

    def __init__(self) -> None:
        self._took_s = 0.0
        self._kept_at: Instant | None = None
        self.wakes_at: Instant | None = None

    def allows(self, at: Instant) -> bool:
        """Whether one may be kept now."""
        if self.wakes_at is None or self._kept_at is None or at - self._kept_at >= OLD_S:
            return True
        return self.wakes_at - at >= ROOM * self._took_s

    def kept(self, began: Instant, ended: Instant) -> None:
        """One was kept from one instant to the other."""
        self._took_s, self._kept_at = ended - began, ended
