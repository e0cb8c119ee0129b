"""The timeline as a chart of characters: dishes down, time across, below them hands and equipment.

Every kind of time has a sign of its own, so that no colour is needed: hands, what looks after itself, what
stands. What takes any time at all has at least one place. Lines stay within 100 columns.
"""

from __future__ import annotations

from collections.abc import Sequence

from kitchend.core.papers import written_places
from kitchend.core.passes import passes_of
from kitchend.core.plan import Equipment, Plan
from kitchend.core.quantities import show_temperature
from kitchend.core.timeline import Timeline
from kitchend.core.wording import clause
from kitchend.reports.rows import Row, cook_name, groups_of, lanes_of, rows_of, uses_of
from kitchend.reports.scale import Span, span_of
from kitchend.reports.wrapping import WIDTH, filled, short

NAME = 26
WHERE = 17
BARS = WIDTH - NAME - WHERE - 4
"""Columns of the name, of where it is, and of the bars between."""

HANDS, RUNS, STANDS, PASS, HOT, WARMS, RUSH = "█", "▒", "·", "│", "═", "~", "^"


def chart(plan: Plan, timeline: Timeline) -> str:
    """The chart of a timeline that has steps."""
    drawing = _Drawing(plan, timeline)
    lines = [drawing.clock()]
    for group in groups_of(plan, drawing.rows):
        lines.append(short(group.name, NAME))
        lines += drawing.steps(group.rows)
    lines += drawing.hands()
    for item in lanes_of(plan, drawing.rows):
        lines += drawing.lane(item)
    return "\n".join([*lines, *(" " * (NAME + 2) + key for key in _key())])


def _key() -> tuple[str, str]:
    return (
        clause("chart.key", hands=HANDS, runs=RUNS, stands=STANDS, at=PASS),
        clause("chart.key.heat", warms=WARMS, hot=HOT, rush=RUSH),
    )


class _Drawing:
    """One chart: the cells of a line, and which moment is which cell."""

    def __init__(self, plan: Plan, timeline: Timeline) -> None:
        self.rows = rows_of(plan, timeline)
        self._plan = plan
        self._timeline = timeline
        self._passes = [one.at(timeline.serve).epoch_s for one in passes_of(plan)]
        self._span: Span = span_of(self.rows, timeline, self._passes)

    def clock(self) -> str:
        """The times above the bars."""
        cells = [" "] * (BARS + 6)
        for moment, shown in self._span.ticks(BARS // 8):
            at = self._at(moment)
            cells[at : at + len(shown)] = shown
        return (" " * (NAME + 2) + "".join(cells)).rstrip()

    def steps(self, rows: Sequence[Row]) -> list[str]:
        """A line for each step of a dish; the repeats of a reminder share one."""
        groups: dict[str, list[Row]] = {}
        for row in rows:
            groups.setdefault(row.step.name, []).append(row)
        return [self._step(group) for group in groups.values()]

    def _step(self, rows: Sequence[Row]) -> str:
        mark = "*" if any(row.planned.is_critical for row in rows) else " "
        cells = self._blank()
        for row in rows:
            self._bar(cells, row)
        return self._line(f" {mark}{rows[0].step.name}", cells, ", ".join(rows[0].equipment))

    def _bar(self, cells: list[str], row: Row) -> None:
        start, end = row.planned.start.epoch_s, row.planned.end.epoch_s
        if row.planned.stands_s >= (self._span.end_s - self._span.begin_s) / BARS:
            self._fill(cells, end, end + row.planned.stands_s, STANDS)
        self._fill(cells, start, end, RUNS)
        if row.step.hands_s:
            self._fill(cells, start, row.hands_end_s, HANDS)

    def hands(self) -> list[str]:
        """A line for each cook with what needs hands, and one that marks when they are busiest."""
        lines = []
        for cook in range(self._plan.cooks):
            own = [row for row in self.rows if row.step.hands_s and row.planned.cook == cook]
            cells = self._blank()
            for row in own:
                self._fill(cells, row.planned.start.epoch_s, row.hands_end_s, HANDS)
            if own:
                lines.append(self._line(cook_name(self._plan, cook) or clause("chart.hands"), cells, ""))
        if self._timeline.busiest:
            cells = [" "] * BARS
            for busy in self._timeline.busiest:
                self._fill(cells, busy.start.epoch_s, busy.end.epoch_s, RUSH)
            lines.append(self._line("", cells, ""))
        return lines

    def lane(self, item: Equipment) -> list[str]:
        """How many places are taken over time; for an oven, above it, how hot it is."""
        heats = [heat for heat in self._timeline.heats if heat.equipment == item.id]
        uses = uses_of(self.rows, item.id)
        lines = []
        if heats:
            cells = self._blank()
            for row, _ in ((row, use) for row, use in uses if row.step.added):
                self._fill(cells, row.planned.start.epoch_s, row.planned.end.epoch_s, WARMS)
            for heat in heats:
                self._fill(cells, heat.start.epoch_s, heat.end.epoch_s, HOT)
                self._label(cells, heat.start.epoch_s, heat.end.epoch_s, show_temperature(heat.at))
            lines.append(self._line(item.name, cells, clause("chart.hot")))
        cells = self._blank()
        for place in range(BARS):
            taken = self._taken(place, [(row, use.places) for row, use in uses if use.places])
            cells[place] = cells[place] if taken == 0 else f"{taken}" if taken < 10 else "+"
        of = clause("chart.of", places=written_places(item, f"{item.places}"))
        return [*lines, self._line("" if heats else item.name, cells, of)]

    def _taken(self, place: int, uses: Sequence[tuple[Row, int]]) -> int:
        """The most places that are taken at one moment of this cell."""
        column = (self._span.end_s - self._span.begin_s) / BARS
        low = self._span.begin_s + place * column
        inside = [
            (row.planned.start.epoch_s, row.planned.end.epoch_s, places)
            for row, places in uses
            if row.planned.start.epoch_s < low + column and row.planned.end.epoch_s > low
        ]
        moments = [max(low, start) for start, _, _ in inside]
        return max((sum(n for a, b, n in inside if a <= at < b) for at in moments), default=0)

    def _blank(self) -> list[str]:
        cells = [" "] * BARS
        for moment in self._passes:
            cells[self._at(moment)] = PASS
        return cells

    def _at(self, epoch_s: float) -> int:
        return min(BARS - 1, int(self._span.share(epoch_s) * BARS))

    def _fill(self, cells: list[str], start_s: float, end_s: float, mark: str) -> None:
        if end_s > start_s:
            first = self._at(start_s)
            for place in range(first, max(first + 1, self._at(end_s))):
                cells[place] = mark

    def _label(self, cells: list[str], start_s: float, end_s: float, label: str) -> None:
        """The label where it fits between both ends; where it does not, the bar stays bare."""
        first, last = self._at(start_s), self._at(end_s)
        if last - first >= len(label) + 2:
            cells[first + 1 : first + 1 + len(label)] = label

    def _line(self, name: str, cells: Sequence[str], where: str) -> str:
        return f"{filled(name, NAME)}  {''.join(cells)}  {short(where, WHERE)}".rstrip()
