"""The paper a timeline is drawn on: its measures, its greys, which moment lies where, words that fit.

Measures are in SVG user units, one of them a pixel at full size.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property
from itertools import accumulate

from rich.cells import cell_len

from kitchend.core.clock import WallTime
from kitchend.core.passes import passes_of
from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.reports.markup import Markup, tag
from kitchend.reports.rows import Row, rows_of
from kitchend.reports.scale import Span, span_of

WIDTH = 1200
LEFT, RIGHT = 20.0, WIDTH - 20.0
BARS_X, BARS_END = 350.0, 1030.0
ROW = 20.0
DARK, MIDDLE, LINE, PALE = "#1d1d1b", "#55554f", "#c9c8c0", "#f1f0ea"

LETTER, BOLD = 0.56, 0.64
"""How wide a letter of such a font is on average, measured by its height, and a bold one. A letter of two
columns (Hangul) is twice as wide.
"""


class Paper:
    """A plan's timeline and where its moments lie."""

    def __init__(self, *, plan: Plan, timeline: Timeline) -> None:
        self.plan = plan
        self.timeline = timeline
        self.rows: list[Row] = rows_of(plan, timeline)

    @cached_property
    def passes(self) -> list[WallTime]:
        """The passes, the earliest first."""
        return [one.at(self.timeline.serve) for one in passes_of(self.plan)]

    @cached_property
    def span(self) -> Span:
        """From the first start to the last end; there must be steps."""
        return span_of(self.rows, self.timeline, [at.epoch_s for at in self.passes])

    def x(self, epoch_s: float) -> float:
        """Where a moment lies."""
        return BARS_X + self.span.share(epoch_s) * (BARS_END - BARS_X)

    def width(self, seconds: float) -> float:
        """How wide so many seconds are."""
        return seconds / (self.span.end_s - self.span.begin_s) * (BARS_END - BARS_X)


def words(told: str, x: float, y: float, room: float, *, size: float = 12, **more: object) -> Markup:
    """Text from `x` on, on the line `y`; what does not fit into `room` is cut, and whole in the title."""
    letter = size * (BOLD if more.get("font_weight") == "bold" else LETTER)
    ends = list(accumulate(letter * cell_len(one) for one in told))
    if not ends or ends[-1] <= room:
        return tag("text", told, x=x, y=y, **more)
    kept = max(1, bisect_right(ends, room - letter))
    return tag("text", tag("title", told), f"{told[:kept]}…", x=x, y=y, **more)
