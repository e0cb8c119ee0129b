"""Thousands of dinners at once: from a solved dinner and drawn lengths to when everything is at the pass.

Every number is an array with one entry a dinner. The dinners are lived by the rules of the core and of
planning again, put shortly: nothing is called before its planned start; what comes before comes before; a
pair of hands does one thing at a time and fills the gaps; places go in the planned order; what is on is not
moved. When the dinner is going to be late, what is not yet on is put back by as much, so that what is
uncertain among it cannot make up for it. Needs numpy, so it is imported when first used.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitchend.core.plan import EquipmentId
from kitchend.planning.chance_rows import Row, Rows
from kitchend.planning.chance_spread import Spread

Dinners = NDArray[np.float32]
"""float32[dinners], in seconds from the origin of the plan."""

ANSWER_FROM_S, ANSWER_TO_S = 4.0, 20.0
"""How soon the cook answers a call or says that something is done: evenly anywhere between."""
NEXT_S = 1.0
"""From a word of the cook to the next call, planning again included."""
_SEED = 11
_TAIL = 1e-6
_HOUR_S = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What was drawn for each dinner: `lengths` of uncertain rows, by place; two answers for every row.

    `slacks_s` is by how much each uncertain row may run over before the pass is late, whatever was drawn.
    """

    lengths: dict[int, Dinners]
    answers: NDArray[np.float32]
    """float32[rows, 2, dinners]: from a call to the answer, from an end to its word."""
    slacks_s: dict[int, float] = field(default_factory=dict)

    def of(self, dinners: NDArray[Any]) -> Drawn:
        """Only these dinners."""
        lengths = {place: drawn[dinners] for place, drawn in self.lengths.items()}
        return replace(self, lengths=lengths, answers=self.answers[:, :, dinners])

    def with_each(self, lengths_s: Mapping[int, float]) -> Drawn:
        """The same dinners once over for each of these rows, which takes so long in all of them; one round
        after the other.
        """
        count = self.answers.shape[2]
        lengths = {place: np.tile(drawn, len(lengths_s)) for place, drawn in self.lengths.items()}
        for turn, (place, length_s) in enumerate(lengths_s.items()):
            lengths[place][turn * count : (turn + 1) * count] = length_s
        return replace(self, lengths=lengths, answers=np.tile(self.answers, len(lengths_s)))


def draw(rows: Rows, count: int) -> Drawn:
    """Draw `count` dinners; always the same ones for the same rows. Each length is drawn once from each of
    `count` equal parts of its distribution, so that few dinners tell as much as many.
    """
    rng = np.random.Generator(np.random.SFC64(_SEED))
    answers = rng.random((len(rows.rows), 2, count), dtype=np.float32)
    answers *= ANSWER_TO_S - ANSWER_FROM_S
    answers += ANSWER_FROM_S
    lengths = {
        place: _lengths(row, row.spread, rng, count)
        for place, row in enumerate(rows.rows)
        if row.spread is not None
    }
    slacks = _slacks(rows) if len(rows.uncertain) > 1 else {}
    return Drawn(lengths=lengths, answers=answers, slacks_s=slacks)


def _lengths(row: Row, spread: Spread, rng: np.random.Generator, count: int) -> Dinners:
    """Drawn lengths of one row; of what is on only those that have not ended yet."""
    shares = (rng.permutation(count) + rng.random(count)) / count
    gone = float(-row.release_s - row.shift_s) if row.is_on else 0.0
    if gone > 0:
        past = NormalDist().cdf(spread.z_of(gone))
        shares = past + shares * (1.0 - past)
    drawn = spread.middle_s * np.exp(spread.sigma * _normal(shares))
    return np.maximum(drawn, max(gone, float(row.hands_s))).astype(np.float32)


def _normal(shares: NDArray[Any]) -> NDArray[Any]:
    """The normal distribution's inverse, read off a table."""
    points, values = _table()
    return np.asarray(np.interp(shares, points, values))


@cache
def _table() -> tuple[NDArray[Any], NDArray[Any]]:
    """Points closer to each other towards both ends, and the inverse there."""
    half = np.concatenate([np.geomspace(_TAIL, 0.01, 120)[:-1], np.linspace(0.01, 0.5, 400)])
    points = np.concatenate([half, 1.0 - half[-2::-1]])
    normal = NormalDist()
    return points, np.array([normal.inv_cdf(float(point)) for point in points])


def ready(rows: Rows, drawn: Drawn, sooner_s: Sequence[float] | None = None) -> Dinners:
    """When everything is at the pass, each dish seen from its own pass. `sooner_s` starts rows sooner."""
    return _Evening(rows, drawn, sooner_s).live()


def _slacks(rows: Rows) -> dict[int, float]:
    """By how much each uncertain row may run over before the pass is late: each an hour, in one dinner."""
    places = rows.uncertain
    lengths = {p: np.full(len(places), rows.rows[p].length_s, dtype=np.float32) for p in places}
    for dinner, place in enumerate(places):
        lengths[place][dinner] += _HOUR_S
    answers = np.full((len(rows.rows), 2, len(places)), ANSWER_FROM_S, dtype=np.float32)
    late = _Evening(rows, Drawn(lengths=lengths, answers=answers), None).live() - rows.serve_s
    return {place: _HOUR_S - float(late[dinner]) for dinner, place in enumerate(places)}


@dataclass(frozen=True, slots=True)
class _Busy:
    """When a pair of hands is at something, and the first and the last moment of that in any dinner."""

    begin: Dinners
    end: Dinners
    first_s: float
    last_s: float


@dataclass(slots=True)
class _Evening:
    """One round through all rows for all dinners."""

    rows: Rows
    drawn: Drawn
    sooner_s: Sequence[float] | None
    starts: list[Dinners] = field(default_factory=list)
    ends: list[Dinners] = field(default_factory=list)
    busy: dict[int, list[_Busy]] = field(default_factory=dict)
    free: dict[EquipmentId, NDArray[np.float32]] = field(default_factory=dict)

    def live(self) -> Dinners:
        """When all is ready."""
        result = np.full(self.drawn.answers.shape[2], -1e9, dtype=np.float32)
        for place, row in enumerate(self.rows.rows):
            self._row(place, row, np.full_like(result, row.release_s))
            np.maximum(result, self.ends[-1] + np.float32(row.before_pass_s), out=result)
        return result

    def _row(self, place: int, row: Row, start: Dinners) -> None:
        if row.is_on:
            self._put(row, start, self._end_of_on(place, row), np.full_like(start, row.hands_until_s))
            return
        self._wait(place, row, start)
        answer, word = self.drawn.answers[place]
        if row.is_hands_only:
            on = np.float32(row.hands_s) + answer
            self._hands(row, start, on + word)
            end = start + on + word
            self._put(row, start, end, end)
            return
        self._hands(row, start, np.full_like(start, row.hands_s))
        end = start + self.drawn.lengths.get(place, np.float32(row.length_s))
        if not row.starts_itself:
            end += np.maximum(answer - np.float32(row.hands_s), 0)
        if not row.ends_itself:
            end += word
        self._put(row, start, end, start + np.float32(row.hands_s))

    def _wait(self, place: int, row: Row, start: Dinners) -> None:
        """Put the start behind all it waits for except the hands."""
        if self.sooner_s is not None:
            start -= np.float32(self.sooner_s[place])
        if row.spread is not None:
            start += self._put_back(row)
        for before in row.after:
            gap = self.rows.answer_s if self.rows.rows[before].ends_itself else NEXT_S
            np.maximum(start, self.ends[before] + np.float32(gap), out=start)
        if row.during is not None:
            np.maximum(start, self.starts[row.during] + np.float32(row.at_s), out=start)
        for name, count in row.uses:
            free = self.free.get(name)
            if free is not None:
                np.maximum(start, free[min(count, len(free)) - 1], out=start)

    def _put_back(self, row: Row) -> Dinners | float:
        """How late the dinner is already going to be when this should begin."""
        late: Dinners | float = 0.0
        for place, slack in self.drawn.slacks_s.items():
            other = self.rows.rows[place]
            planned = other.length_s if other.is_on else other.release_s + other.length_s
            if place < len(self.ends) and planned <= row.release_s:
                late = np.maximum(late, self.ends[place] - np.float32(planned + slack))
        return late

    def _hands(self, row: Row, start: Dinners, length: Dinners) -> None:
        """Put the start where its pair of hands is free for so long."""
        if row.hands_s == 0:
            return
        soonest, latest = float(start.min()), float((start + length).max())
        taken = [one for one in self.busy.get(row.cook, ()) if one.last_s > soonest]
        if not any(one.first_s < latest for one in taken):
            return
        for _ in range(4):
            moved = False
            for one in taken:
                clash = (start < one.end) & (start + length > one.begin)
                if clash.any():
                    np.copyto(start, one.end, where=clash)
                    moved = True
            if not moved:
                return

    def _end_of_on(self, place: int, row: Row) -> Dinners:
        """When what is on ends and that has been said."""
        word = self.drawn.answers[place, 1]
        length = self.drawn.lengths.get(place)
        left = (
            np.float32(row.length_s) if length is None else length + np.float32(row.release_s + row.shift_s)
        )
        return np.maximum(left, 0) + (0 if row.ends_itself else word)

    def _put(self, row: Row, start: Dinners, end: Dinners, hands_end: Dinners) -> None:
        self.starts.append(start)
        self.ends.append(end)
        if row.hands_s:
            one = _Busy(start, hands_end, float(start.min()), float(hands_end.max()))
            self.busy.setdefault(row.cook, []).append(one)
        for name, count in row.uses:
            places = self.rows.places[name]
            free = self.free.get(name)
            if free is None:
                free = np.full((places, len(start)), -1e9, dtype=np.float32)
            free[: min(count, places)] = end
            self.free[name] = np.sort(free, axis=0)
