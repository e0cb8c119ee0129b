"""The share that was right over the noise ratio, a line a listener, with its interval: a drawing in SVG."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

WIDTH, HEIGHT, EDGE = 640, 400, 50
COLOURS = ("#1b6ca8", "#c8553d", "#4a7c59")


def plot(found: Mapping[str, Mapping[str, Any]]) -> str:
    """The whole drawing."""
    names = list(dict.fromkeys(name for ears in found.values() for name in ears["by_ratio"]))
    parts = [_frame(names)]
    for (ears, rows), colour in zip(found.items(), COLOURS, strict=False):
        parts.append(_line(ears, rows["by_ratio"], names, colour, list(found).index(ears)))
    looks = 'font-family="sans-serif" font-size="12"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" {looks}>'
    return "\n".join([head, *parts, "</svg>\n"])


def _x(place: int, count: int) -> float:
    return EDGE + (WIDTH - 2 * EDGE) * (place + 0.5) / count


def _y(share: float) -> float:
    return HEIGHT - EDGE - (HEIGHT - 2 * EDGE) * share


def _frame(names: list[str]) -> str:
    lines = [
        f'<path d="M{EDGE} {_y(s):.1f}H{WIDTH - EDGE}" stroke="#ccc"/>'
        f'<text x="{EDGE - 8}" y="{_y(s) + 4:.1f}" text-anchor="end">{s:.0%}</text>'
        for s in (0, 0.2, 0.4, 0.6, 0.8, 1.0)
    ]
    lines += [
        f'<text x="{_x(i, len(names)):.1f}" y="{HEIGHT - EDGE + 20}" text-anchor="middle">{name}</text>'
        for i, name in enumerate(names)
    ]
    title = f'<text x="{WIDTH / 2}" y="24" text-anchor="middle" font-size="15">commands heard right</text>'
    return "\n".join([title, *lines])


def _line(ears: str, rows: Mapping[str, Any], names: list[str], colour: str, number: int) -> str:
    drawn = [(_x(names.index(name), len(names)), row) for name, row in rows.items()]
    path = " ".join(
        f"{'L' if i else 'M'}{x:.1f} {_y(row['right_share']):.1f}" for i, (x, row) in enumerate(drawn)
    )
    bars = "".join(f"M{x:.1f} {_y(row['right_low']):.1f}V{_y(row['right_high']):.1f}" for x, row in drawn)
    place = f'x="{WIDTH - EDGE}" y="{EDGE + 16 * number}"'
    label = f'<text {place} text-anchor="end" fill="{colour}">{ears}</text>'
    return f'<path d="{path} {bars}" stroke="{colour}" fill="none" stroke-width="2"/>{label}'
