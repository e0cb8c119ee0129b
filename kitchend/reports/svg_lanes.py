"""The lower part of the picture: what hands do, and how full and how hot equipment is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kitchend.core.papers import written_places
from kitchend.core.plan import Equipment
from kitchend.core.quantities import show_temperature
from kitchend.core.wording import clause
from kitchend.reports.markup import Markup, tag
from kitchend.reports.rows import cook_name, uses_of
from kitchend.reports.svg_sheet import BARS_END, BARS_X, DARK, LEFT, LINE, MIDDLE, RIGHT, Paper, words

BAR, GAP = 14.0, 10.0
PLACE = 8.0
"""How high one place of a piece of equipment is drawn, while there are few."""
HIGHEST = 64.0


def hands_lanes(paper: Paper, y: float) -> Iterator[tuple[list[Markup], float]]:
    """A lane for each cook who has something to do, and one that marks when hands are busiest."""
    for cook in range(paper.plan.cooks):
        own = [row for row in paper.rows if row.step.hands_s and row.planned.cook == cook]
        if not own:
            continue
        parts = [_name(cook_name(paper.plan, cook) or clause("row.hands"), y), _base(y + BAR)]
        for row in own:
            start = paper.x(row.planned.start.epoch_s)
            width = max(2.0, paper.x(row.hands_end_s) - start)
            parts.append(tag("rect", x=start, y=y, width=width, height=BAR, fill=DARK))
        yield parts, BAR + GAP
        y += BAR + GAP
    if paper.timeline.busiest:
        yield (
            [
                part
                for busy in paper.timeline.busiest
                for part in _rush(paper, busy.start.epoch_s, busy.end.epoch_s, y)
            ],
            16,
        )


def _rush(paper: Paper, start_s: float, end_s: float, y: float) -> list[Markup]:
    start, end = paper.x(start_s), max(paper.x(start_s) + 4, paper.x(end_s))
    path = f"M{start:.1f} {y - 6:.1f} v5 H{end:.1f} v-5"
    middle = (start + end) / 2
    return [
        tag("path", d=path, fill="none", stroke=DARK, stroke_width=1.2),
        tag(
            "text",
            clause("picture.busiest"),
            x=middle,
            y=y + 10,
            text_anchor="middle",
            font_size=10,
            fill=MIDDLE,
        ),
    ]


def equipment_lane(paper: Paper, item: Equipment, y: float) -> tuple[list[Markup], float]:
    """For an oven a bar with its temperatures; for everything how many places are taken. Parts and height."""
    heats = [heat for heat in paper.timeline.heats if heat.equipment == item.id]
    parts = []
    if heats:
        parts.append(_name(item.name, y))
        for row, _ in uses_of(paper.rows, item.id):
            if row.step.added:
                parts += _warms(paper, row.planned.start.epoch_s, row.planned.end.epoch_s, y)
        for heat in heats:
            parts += _hot(paper, heat.start.epoch_s, heat.end.epoch_s, show_temperature(heat.at), y)
        y += BAR + 6
    place = min(PLACE, HIGHEST / item.places)
    height = max(BAR, place * item.places)
    parts += [*_taken(paper, item, y, height), _base(y + height)]
    if not heats:
        parts.append(_name(item.name, y + height - BAR))
    count = written_places(item, f"{item.places}")
    parts.append(words(count, BARS_END + 10, y + height - 2, RIGHT - BARS_END - 14, fill=MIDDLE))
    return parts, height + GAP + (BAR + 6) * bool(heats)


def _warms(paper: Paper, start_s: float, end_s: float, y: float) -> list[Markup]:
    """A wedge: it gets there."""
    start, end = paper.x(start_s), paper.x(end_s)
    path = f"M{start:.1f} {y + BAR:.1f} L{end:.1f} {y:.1f} V{y + BAR:.1f} Z"
    return [tag("path", d=path, fill="white", stroke=DARK, stroke_width=0.9)]


def _hot(paper: Paper, start_s: float, end_s: float, degrees: str, y: float) -> list[Markup]:
    start, end = paper.x(start_s), max(paper.x(start_s) + 2, paper.x(end_s))
    box = tag(
        "rect", x=start, y=y, width=end - start, height=BAR, fill="white", stroke=DARK, stroke_width=0.9
    )
    label = tag("text", degrees, x=(start + end) / 2, y=y + 11, text_anchor="middle", font_size=11)
    return [box, label] if end - start > 7.0 * len(degrees) else [tag("g", tag("title", degrees), box)]


def _taken(paper: Paper, item: Equipment, y: float, height: float) -> list[Markup]:
    """How many places are taken, as blocks on a base line: full is full height."""
    uses = [
        (row.planned.start.epoch_s, row.planned.end.epoch_s, use.places)
        for row, use in uses_of(paper.rows, item.id)
    ]
    moments = sorted({moment for start, end, _ in uses for moment in (start, end)})
    parts = []
    for start, end in pairwise(moments):
        taken = sum(places for a, b, places in uses if a <= start < b)
        if taken:
            high = height * min(1.0, taken / item.places)
            x, width = paper.x(start), paper.x(end) - paper.x(start)
            box = {"x": x, "y": y + height - high, "width": width, "height": high}
            parts.append(
                tag(
                    "rect",
                    tag("title", clause("picture.taken", taken=f"{taken}", places=f"{item.places}")),
                    fill=LINE,
                    stroke=DARK,
                    stroke_width=0.6,
                    **box,
                )
            )
            if width > 14 and high >= 8:
                parts.append(
                    tag(
                        "text",
                        str(taken),
                        x=x + width / 2,
                        y=y + height - 2,
                        text_anchor="middle",
                        font_size=9,
                    )
                )
    return parts


def _name(name: str, y: float) -> Markup:
    return words(name, LEFT + 6, y + 11, BARS_X - LEFT - 16, font_weight="bold")


def _base(y: float) -> Markup:
    return tag("line", x1=BARS_X, y1=y, x2=BARS_END, y2=y, stroke=DARK, stroke_width=0.6)
