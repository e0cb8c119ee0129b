"""How much of something is taken over time, and where there is still room for more. Pure arithmetic.

A step function of time: so much is taken from each mark to the next, the last for ever. What facts take is
put in as it is, so there may be less than no room.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right


class Room:
    """Places of a piece of equipment, or pairs of hands."""

    def __init__(self, places: int) -> None:
        self._places = places
        self._marks = [0]
        self._taken = [0]

    def take(self, start: int, end: int, demand: int) -> None:
        """Take so much from start until end; a negative demand gives it back. What is past does not count."""
        start = max(0, start)
        if end <= start or demand == 0:
            return
        first, last = self._mark(start), self._mark(end)
        for place in range(first, last):
            self._taken[place] += demand

    def earliest(self, start: int, length: int, demand: int) -> int:
        """The first moment at or after `start` from which there is room for so long."""
        if length <= 0 or demand <= 0:
            return start
        place = bisect_right(self._marks, start) - 1
        while True:
            full = self._full(place, start + length, demand)
            if full is None:
                return start
            place = full + 1
            start = self._marks[place]

    def latest(self, start: int, least: int, length: int, demand: int) -> int | None:
        """The last moment at or before `start`, not below `least`, from which there is room for so long."""
        if length <= 0 or demand <= 0:
            return start
        while start >= least:
            full = self._last_full(start, start + length, demand)
            if full is None:
                return start
            start = self._marks[full] - length
        return None

    def _full(self, place: int, end: int, demand: int) -> int | None:
        """The last stretch of the first run that is too full, from a place on and before `end`."""
        while place < len(self._marks) and self._marks[place] < end:
            if self._taken[place] + demand > self._places:
                return place
            place += 1
        return None

    def _last_full(self, start: int, end: int, demand: int) -> int | None:
        place = bisect_left(self._marks, end) - 1
        while place >= 0 and (place + 1 == len(self._marks) or self._marks[place + 1] > start):
            if self._taken[place] + demand > self._places:
                return place
            place -= 1
        return None

    def _mark(self, at: int) -> int:
        place = bisect_left(self._marks, at)
        if place == len(self._marks) or self._marks[place] != at:
            self._marks.insert(place, at)
            self._taken.insert(place, self._taken[place - 1])
        return place
