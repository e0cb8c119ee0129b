"""Lines of text for a terminal of 100 columns: cut, wrapped, durations to the minute. Knows no kitchen."""

from __future__ import annotations

from kitchend.core.quantities import show_duration

WIDTH = 100


def short(text: str, width: int) -> str:
    """The text, cut to `width` with an ellipsis where it is longer."""
    return text if len(text) <= width else f"{text[: width - 1]}…"


def wrapped(lead: str, text: str) -> list[str]:
    """The text within the width, continuation lines indented below the lead. A longer word is cut apart."""
    lines, line = [], lead
    for whole in text.split():
        for word in (whole[at : at + WIDTH - 4] for at in range(0, len(whole), WIDTH - 4)):
            if len(line) + len(word) > WIDTH and line.strip():
                lines.append(line.rstrip())
                line = " " * min(len(lead), 4)
            line += word + " "
    return [*lines, line.rstrip()]


def rough(seconds: int) -> str:
    """A duration to the minute, or to the second below one; empty for none."""
    if seconds <= 0:
        return ""
    return show_duration(seconds if seconds < 60 else seconds // 60 * 60)


def at_least(seconds: float) -> str:
    """A duration to the next whole minute above."""
    return show_duration(int(-(-seconds // 60) * 60))
