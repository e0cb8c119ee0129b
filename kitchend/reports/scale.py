"""Where on a line a moment falls, and the clock above it. Arithmetic for chart and picture."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kitchend.core.clock import WallTime
from kitchend.core.timeline import Timeline
from kitchend.core.wording import clause
from kitchend.reports.rows import Row

STEPS_S = (300, 600, 900, 1800, 3600, 7200, 14400, 6 * 3600, 12 * 3600, 24 * 3600)
"""How far apart the times on a clock may stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From the first start to the last end or the pass, in seconds since 1970; `offset_s` is the zone's."""

    begin_s: float
    end_s: float
    offset_s: int

    def share(self, epoch_s: float) -> float:
        """How far along a moment lies, 0 to 1."""
        return max(0.0, min(1.0, (epoch_s - self.begin_s) / (self.end_s - self.begin_s)))

    def ticks(self, most: int) -> Iterator[tuple[float, str]]:
        """The times on the clock, at most so many: the moment and "19:30"; midnight is the day it begins."""
        length = self.end_s - self.begin_s
        every = next((step for step in STEPS_S if length / step <= most), 24 * 3600)
        while length / every > most:
            every *= 2
        moment = -(-(self.begin_s + self.offset_s) // every) * every - self.offset_s
        while moment <= self.end_s:
            minutes = int(moment + self.offset_s) % 86400 // 60
            day = WallTime(moment, self.offset_s).local.weekday()
            yield (
                moment,
                clause(f"weekday.{day}.short") if minutes == 0 else f"{minutes // 60:02d}:{minutes % 60:02d}",
            )
            moment += every


def span_of(rows: Sequence[Row], timeline: Timeline, passes_s: Iterable[float]) -> Span:
    """The span of a timeline, at least a minute long."""
    ends = [row.planned.end.epoch_s for row in rows]
    begin = min(row.planned.start.epoch_s for row in rows)
    end = max([timeline.serve.epoch_s, begin + 60, *ends, *passes_s])
    return Span(begin_s=begin, end_s=end, offset_s=timeline.serve.offset_s)
