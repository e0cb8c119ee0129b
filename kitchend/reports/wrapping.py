"""Lines of text for a terminal of 100 columns: cut, wrapped, durations to the minute. Knows no kitchen."""

from __future__ import annotations

from rich.cells import cell_len

from kitchend.core.papers import written_duration

WIDTH = 100


def short(text: str, width: int) -> str:
    """The text, cut to `width` with an ellipsis where it is longer."""
    if cell_len(text) <= width:
        return text
    kept = text
    while kept and cell_len(kept) > width - 1:
        kept = kept[:-1]
    return f"{kept}…"


def filled(text: str, width: int, *, to_right: bool = False) -> str:
    """The text cut or filled up with spaces to so many columns."""
    cut = short(text, width)
    space = " " * (width - cell_len(cut))
    return space + cut if to_right else cut + space


def wrapped(lead: str, text: str) -> list[str]:
    """The text within the width, continuation lines indented below the lead. A longer word is cut apart."""
    lines, line = [], lead
    for whole in text.split():
        for word in (whole[at : at + WIDTH - 4] for at in range(0, len(whole), WIDTH - 4)):
            if cell_len(line) + cell_len(word) > WIDTH and line.strip():
                lines.append(line.rstrip())
                line = " " * min(len(lead), 4)
            line += word + " "
    return [*lines, line.rstrip()]


def rough(seconds: int) -> str:
    """A duration to the minute, or to the second below one; empty for none."""
    if seconds <= 0:
        return ""
    return written_duration(seconds if seconds < 60 else seconds // 60 * 60)


def at_least(seconds: float) -> str:
    """A duration to the next whole minute above."""
    return written_duration(int(-(-seconds // 60) * 60))
