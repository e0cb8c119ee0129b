"""The timeline as a picture, SVG: dishes down, time across, below them hands and equipment. Prints in grey.

Kinds of time differ by shape: hands are solid, what looks after itself is hatched, what stands is a dotted
line. What decides the pass has a heavy frame and a thread from step to step. No font is measured: words are
cut by an estimate, and the whole of them is in the element's title.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.core.tongue import of_state
from kitchend.core.wording import clause
from kitchend.reports.markup import Markup, tag
from kitchend.reports.rows import Row, groups_of, lanes_of
from kitchend.reports.svg_lanes import equipment_lane, hands_lanes
from kitchend.reports.svg_sheet import (
    BARS_END,
    BARS_X,
    DARK,
    LEFT,
    LINE,
    MIDDLE,
    PALE,
    RIGHT,
    ROW,
    WIDTH,
    Paper,
    words,
)
from kitchend.reports.timeline import headline, on_paper
from kitchend.reports.why import chance, gap

TOP, BOTTOM = 118.0, 64.0
"""Room for title and clock, and for the key."""


@of_state
def timeline_svg(plan: Plan, timeline: Timeline) -> str:
    """The whole document, as text; a timeline without steps gives its title alone."""
    paper = Paper(plan=plan, timeline=timeline)
    parts, y = _drawn(paper) if paper.rows else ([], 0.0)
    height = max(y, TOP) + BOTTOM
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        + tag(
            "svg",
            tag("title", headline(plan, timeline)),
            _patterns(),
            tag("rect", width=WIDTH, height=height, fill="white"),
            *_title(paper),
            *parts,
            *_key(height - 34),
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {WIDTH} {height:.0f}",
            width=WIDTH,
            height=f"{height:.0f}",
            font_family="Helvetica, Arial, 'Liberation Sans', sans-serif",
            font_size=12,
            fill=DARK,
        )
        + "\n"
    )


def _drawn(paper: Paper) -> tuple[list[Markup], float]:
    """Everything below the title, and how far down it reaches."""
    bands, bars, y = [], [], TOP
    places: dict[str, float] = {}
    for number, group in enumerate(groups_of(paper.plan, paper.rows)):
        lines = _by_name(group.rows)
        height = ROW * len(lines) + 8
        if number % 2 == 0:
            bands.append(tag("rect", x=LEFT, y=y, width=RIGHT - LEFT, height=height, fill=PALE))
        bars.append(words(group.name, LEFT + 6, y + 16, 118, font_weight="bold"))
        for line, rows in enumerate(lines):
            top = y + 4 + ROW * line
            bars += _step(paper, rows, top)
            places.update({row.step.id: top for row in rows})
        y += height
    lanes: list[Markup] = []
    y += 14
    for drawn, height in _lanes(paper, y):
        lanes += drawn
        y += height
    grid = list(_grid(paper, y))
    return [*bands, *grid, *_passes(paper, y), *_thread(paper, places), *bars, *lanes], y


def _lanes(paper: Paper, y: float) -> Iterator[tuple[list[Markup], float]]:
    for drawn, height in hands_lanes(paper, y):
        yield drawn, height
        y += height
    for item in lanes_of(paper.plan, paper.rows):
        drawn, height = equipment_lane(paper, item, y)
        yield drawn, height
        y += height


def _by_name(rows: Sequence[Row]) -> list[list[Row]]:
    lines: dict[str, list[Row]] = {}
    for row in rows:
        lines.setdefault(row.step.name, []).append(row)
    return list(lines.values())


def _step(paper: Paper, rows: Sequence[Row], y: float) -> list[Markup]:
    first = rows[0]
    decides = any(row.planned.is_critical for row in rows)
    name = words(
        first.step.name, LEFT + 128, y + 13, BARS_X - LEFT - 138, font_weight="bold" * decides or None
    )
    where = words(", ".join(first.equipment), BARS_END + 10, y + 13, RIGHT - BARS_END - 14, fill=MIDDLE)
    return [name, *(part for row in rows for part in _bar(paper, row, y)), where]


def _bar(paper: Paper, row: Row, y: float) -> list[Markup]:
    start, end = paper.x(row.planned.start.epoch_s), paper.x(row.planned.end.epoch_s)
    width, parts = max(2.5, end - start), []
    if paper.width(row.planned.stands_s) > 5:
        until = paper.x(row.planned.end.epoch_s + row.planned.stands_s)
        middle = y + ROW / 2
        dots = {"stroke": DARK, "stroke_width": 2, "stroke_dasharray": "1 4", "stroke_linecap": "round"}
        parts.append(tag("line", x1=end + 3, y1=middle, x2=max(end + 3, until), y2=middle, **dots))
    told = clause(
        "picture.from.to",
        step=row.step.name,
        start=f"{row.planned.start.time_of_day}",
        end=f"{row.planned.end.time_of_day}",
    )
    frame = {"stroke": DARK, "stroke_width": 2.4 if row.planned.is_critical else 0.9}
    box = {"x": start, "y": y + 3.5, "height": ROW - 7}
    parts.append(tag("rect", tag("title", told), width=width, fill="url(#runs)", **box, **frame))
    if row.step.hands_s:
        hands = max(2.5, min(width, paper.x(row.hands_end_s) - start))
        parts.append(tag("rect", width=hands, fill=DARK, **box))
    return parts


def _thread(paper: Paper, places: dict[str, float]) -> Iterator[Markup]:
    """From each deciding step to the start of the next: from its end, or from where its hands were free."""
    passes = dict.fromkeys(before for row in paper.rows for before in row.planned.decides)
    chains = ([row for row in paper.rows if before in row.planned.decides] for before in passes)
    for before, after in dict.fromkeys(pair for chain in chains for pair in pairwise(chain)):
        x2, y2 = paper.x(after.planned.start.epoch_s), places[after.step.id] + ROW / 2
        x1, y1 = min(paper.x(before.planned.end.epoch_s), x2), places[before.step.id] + ROW / 2
        yield tag(
            "path",
            d=f"M{x1:.1f} {y1:.1f} H{x2:.1f} V{y2:.1f}",
            fill="none",
            stroke=DARK,
            stroke_width=1.4,
        )


def _grid(paper: Paper, bottom: float) -> Iterator[Markup]:
    passes = [paper.x(at.epoch_s) for at in paper.passes]
    for moment, shown in paper.span.ticks(12):
        x = paper.x(moment)
        yield tag("line", x1=x, y1=TOP - 6, x2=x, y2=bottom, stroke=LINE, stroke_width=0.8)
        if all(abs(x - other) > 22 for other in passes):
            yield tag("text", shown, x=x, y=TOP - 11, text_anchor="middle", fill=MIDDLE)


def _passes(paper: Paper, bottom: float) -> Iterator[Markup]:
    """A double line for every pass, its time above; by turns higher, so that two near ones can be read."""
    for number, at in enumerate(paper.passes):
        x, y = paper.x(at.epoch_s), TOP - 14 - 14 * (number % 2)
        for shift in (-1.5, 1.5):
            yield tag("line", x1=x + shift, y1=y + 4, x2=x + shift, y2=bottom, stroke=DARK, stroke_width=0.9)
        yield tag(
            "text",
            clause("picture.pass", at=f"{at.time_of_day}"),
            x=x,
            y=y,
            text_anchor="middle",
            font_weight="bold",
        )


def _title(paper: Paper) -> list[Markup]:
    more = " ".join(filter(None, (chance(paper.timeline), gap(paper.timeline))))
    return [
        words(paper.plan.name, LEFT, 28, WIDTH - 2 * LEFT, size=20, font_size=20, font_weight="bold"),
        words(on_paper(paper.plan, paper.timeline), LEFT, 48, WIDTH - 2 * LEFT, fill=MIDDLE),
        words(more, LEFT, 65, WIDTH - 2 * LEFT, fill=MIDDLE),
    ]


def _patterns() -> Markup:
    stroke = tag("path", d="M-1 1 l2 -2 M0 6 l6 -6 M5 7 l2 -2", stroke=MIDDLE, stroke_width=1)
    back = tag("rect", width=6, height=6, fill="white")
    runs = tag("pattern", back, stroke, id="runs", width=6, height=6, patternUnits="userSpaceOnUse")
    return tag("defs", runs)


def _key(y: float) -> list[Markup]:
    """What the shapes mean."""
    parts: list[Markup] = []
    x = LEFT
    frame = {"y": y, "width": 26, "height": 11, "stroke": DARK}
    dots = {"stroke": DARK, "stroke_width": 2, "stroke_dasharray": "1 4", "stroke_linecap": "round"}
    signs = [
        (tag("rect", x=x, fill=DARK, stroke_width=0.9, **frame), clause("picture.hands")),
        (tag("rect", x=x + 150, fill="url(#runs)", stroke_width=0.9, **frame), clause("picture.runs")),
        (tag("line", x1=x + 320, y1=y + 6, x2=x + 346, y2=y + 6, **dots), clause("picture.stands")),
        (tag("rect", x=x + 490, fill="url(#runs)", stroke_width=2.4, **frame), clause("picture.decides")),
        (
            tag("path", d=f"M{x + 660} {y + 11} l26 -11 v11 z", fill="white", stroke=DARK),
            clause("picture.heats"),
        ),
    ]
    for at, (sign, meaning) in zip((0, 150, 320, 490, 660), signs, strict=True):
        parts += [sign, tag("text", meaning, x=x + at + 34, y=y + 10)]
    return parts
