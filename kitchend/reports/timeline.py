"""What `kitchend timeline` shows: a table, a chart over the clock, what decides the pass, what cannot be had.

Takes a plan and its timeline and gives text or a dict; plans nothing and prints nothing. The keys of the JSON
are relied on by other programs: more may be added, none taken away. Lines stay within 100 columns.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitchend.core.plan import Plan, Step, StepId, Use
from kitchend.core.quantities import show_duration, show_temperature
from kitchend.core.timeline import Planned, Timeline

WIDTH = 100
NAME_WIDTH = 30
WHERE_WIDTH = 18
BARS_WIDTH = WIDTH - NAME_WIDTH - WHERE_WIDTH - 4

HANDS, RUNS, STANDS, PASS = "█", "▒", "·", "│"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A step, its planned times, the name of what it belongs to, what it takes ("oven at 180 C x2")."""

    step: Step
    dish: str
    planned: Planned
    equipment: tuple[str, ...]


def rows_of(plan: Plan, timeline: Timeline) -> list[Row]:
    """The timeline's steps with their names, earliest first."""
    steps: dict[StepId, Step] = {step.id: step for step in (*plan.iter_steps(), *timeline.added)}
    dishes = {dish.id: dish.name for dish in plan.dishes}
    names = {item.id: item.name for item in plan.equipment}
    rows = []
    for planned in timeline.planned:
        step = steps[planned.step]
        of = next((names[use.equipment] for use in step.uses if use.equipment in names), str(step.dish))
        equipment = tuple(_use(use, names.get(use.equipment, use.equipment)) for use in step.uses)
        rows.append(Row(step=step, dish=dishes.get(step.dish, of), planned=planned, equipment=equipment))
    return rows


def timeline_json(plan: Plan, timeline: Timeline) -> dict[str, object]:
    """The timeline as the JSON other programs rely on; times are ISO 8601 with offset."""
    return {
        "plan": plan.name,
        "serve": timeline.serve.isoformat(),
        "ready": timeline.ready.isoformat(),
        "feasible": timeline.is_feasible,
        "late_by_s": timeline.late_by_s,
        "steps": [_step_json(row) for row in rows_of(plan, timeline)],
        "conflicts": [{"message": c.message, "change": c.change} for c in timeline.conflicts],
        "on_time_probability": timeline.on_time_probability,
    }


def _step_json(row: Row) -> dict[str, object]:
    return {
        "id": row.step.id,
        "dish": row.dish,
        "step": row.step.name,
        "start": row.planned.start.isoformat(),
        "end": row.planned.end.isoformat(),
        "hands_s": row.step.hands_s,
        "equipment": list(row.equipment),
        "stands_s": row.planned.stands_s,
        "slack_s": row.planned.slack_s,
        "critical": row.planned.is_critical,
        "added": row.step.added,
    }


def timeline_text(plan: Plan, timeline: Timeline) -> str:
    """The timeline for people: what it comes to, the table, the chart, the chain that decides, conflicts."""
    rows = rows_of(plan, timeline)
    parts = [_headline(plan, timeline), _conflicts(timeline)]
    if rows:
        parts += [table(rows), chart(rows, timeline), _why(rows, timeline)]
    return "\n\n".join(part for part in parts if part)


def table(rows: Sequence[Row]) -> str:
    """A line a step: from, to, what, of which dish, where, hands, how far it may slip."""
    lines = [f"  {'from':5}  {'to':5}  {'step':36.36}  {'dish':18.18}  {'hands':>8}  {'may slip':>10}"]
    for row in rows:
        start, end = row.planned.start.time_of_day, row.planned.end.time_of_day
        mark = "*" if row.planned.is_critical else " "
        hands = show_duration(row.step.hands_s) if row.step.hands_s else ""
        slip = _rough(row.planned.slack_s)
        name = _short(row.step.name, 36)
        lines.append(
            f"{mark} {start!s:5}  {end!s:5}  {name:36}  {_short(row.dish, 18):18}  {hands:>8}  {slip:>10}"
        )
    return "\n".join(line.rstrip() for line in lines)


def chart(rows: Sequence[Row], timeline: Timeline) -> str:
    """Bars over the clock, a line a step (repeats of a reminder share one): hands, running, standing."""
    scale = _Scale.of(rows, timeline)
    lines = [scale.hours()]
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.step.dish, row.step.name), []).append(row)
    for group in groups.values():
        mark = "*" if any(row.planned.is_critical for row in group) else " "
        name = _short(group[0].step.name, NAME_WIDTH - 2)
        where = _short(", ".join(group[0].equipment), WHERE_WIDTH)
        lines.append(f"{mark} {name:{NAME_WIDTH - 2}}  {scale.bar(group)}  {where}".rstrip())
    key = f"{HANDS} hands  {RUNS} runs  {STANDS} stands  {PASS} the pass  * the chain that decides"
    return "\n".join([*lines, " " * (NAME_WIDTH + 2) + key])


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where on a line of `BARS_WIDTH` characters a moment falls."""

    begin_s: float
    column_s: float
    offset_s: int
    serve_s: float

    @classmethod
    def of(cls, rows: Sequence[Row], timeline: Timeline) -> _Scale:
        begin = min(row.planned.start.epoch_s for row in rows)
        end = max(timeline.serve.epoch_s, *(row.planned.end.epoch_s for row in rows))
        column = max(1.0, (end - begin) / (BARS_WIDTH - 1))
        return cls(begin, column, timeline.serve.offset_s, timeline.serve.epoch_s)

    def at(self, epoch_s: float) -> int:
        return max(0, min(BARS_WIDTH - 1, int((epoch_s - self.begin_s) / self.column_s)))

    def bar(self, rows: Sequence[Row]) -> str:
        cells = [" "] * BARS_WIDTH
        cells[self.at(self.serve_s)] = PASS
        for row in rows:
            start, end = row.planned.start.epoch_s, row.planned.end.epoch_s
            if row.planned.stands_s >= self.column_s:
                self._fill(cells, end, end + row.planned.stands_s, STANDS)
            self._fill(cells, start, end, RUNS)
            if row.step.hands_s:
                self._fill(cells, start, start + row.step.hands_s, HANDS)
        return "".join(cells)

    def _fill(self, cells: list[str], start_s: float, end_s: float, mark: str) -> None:
        """At least one character for what takes any time at all, however short."""
        if end_s > start_s:
            first = self.at(start_s)
            for place in range(first, max(first + 1, self.at(end_s))):
                cells[place] = mark

    def hours(self) -> str:
        """The clock above the bars: as many whole hours, halves or quarters as fit."""
        span = self.column_s * BARS_WIDTH
        every = next((s for s in (900, 1800, 3600, 7200, 14400) if span / s <= BARS_WIDTH / 7), 6 * 3600)
        cells = [" "] * (BARS_WIDTH + 6)
        for moment in self._moments(every):
            hour, minute = divmod(int(moment + self.offset_s) % 86400 // 60, 60)
            for place, letter in enumerate(f"{hour:02d}:{minute:02d}", start=self.at(moment)):
                cells[place] = letter
        return (" " * (NAME_WIDTH + 2) + "".join(cells)).rstrip()

    def _moments(self, every: int) -> Iterator[float]:
        moment = -(-(self.begin_s + self.offset_s) // every) * every - self.offset_s
        while moment <= self.begin_s + self.column_s * (BARS_WIDTH - 1):
            yield moment
            moment += every


def _headline(plan: Plan, timeline: Timeline) -> str:
    serve, ready = timeline.serve.time_of_day, timeline.ready.time_of_day
    first = min(
        (planned.start for planned in timeline.planned), key=lambda start: start.epoch_s, default=None
    )
    begins = "" if first is None else f", beginning at {first.time_of_day}"
    if timeline.late_by_s == 0:
        return f"{plan.name}: the pass at {serve}{begins}."
    late = show_duration(-(-timeline.late_by_s // 60) * 60)
    return f"{plan.name}: the pass at {serve} cannot be met; ready at {ready}, {late} late{begins}."


def _conflicts(timeline: Timeline) -> str:
    lines = []
    for conflict in timeline.conflicts:
        lines += _wrapped("! ", f"{conflict.message}.")
        if conflict.change:
            lines += _wrapped("  What would help: ", f"{conflict.change}.")
    return "\n".join(lines)


def _why(rows: Sequence[Row], timeline: Timeline) -> str:
    """Which chain decides, in the order of its steps."""
    chain = [row.step.name for row in rows if row.planned.is_critical]
    if not chain:
        return ""
    text = "The chain that decides: " + ", then ".join(dict.fromkeys(chain)) + "."
    return "\n".join(_wrapped("", text))


def _wrapped(lead: str, text: str) -> list[str]:
    """The text within the width, continuation lines indented below the lead."""
    lines, line = [], lead
    for word in text.split():
        if len(line) + len(word) > WIDTH and line.strip():
            lines.append(line.rstrip())
            line = " " * min(len(lead), 4)
        line += word + " "
    return [*lines, line.rstrip()]


def _use(use: Use, name: str) -> str:
    count = f" x{use.places}" if use.places > 1 else ""
    at = f" at {show_temperature(use.at)}" if use.at is not None else ""
    return f"{name}{at}{count}"


def _rough(seconds: int) -> str:
    """A duration to the minute, or to the second below one; empty for none."""
    if seconds <= 0:
        return ""
    return show_duration(seconds if seconds < 60 else seconds // 60 * 60)


def _short(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1]}…"
