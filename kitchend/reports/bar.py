"""A bar that grows while something large comes, for people at a terminal; elsewhere nothing is drawn.

Drawn on standard error, one line over the last, so that standard output holds the result alone.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

LENGTH = 30
MEGABYTE = 1_000_000


def bar(got: int, wanted: int) -> str:
    """A bar of what has come: "[#####     ] 4.1 of 40.0 MB"; without its end where that is not known."""
    if wanted <= 0:
        return f"{got / MEGABYTE:.1f} MB"
    full = LENGTH * min(got, wanted) // wanted
    return f"[{'#' * full}{' ' * (LENGTH - full)}] {got / MEGABYTE:.1f} of {wanted / MEGABYTE:.1f} MB"


@contextmanager
def drawn() -> Iterator[Callable[[int, int], None]]:
    """What draws the bar: told how many bytes have come of how many. The line is ended afterwards."""
    last = ""

    def draw(got: int, wanted: int) -> None:
        nonlocal last
        line = bar(got, wanted)
        if line != last and sys.stderr.isatty():
            print(f"\r{line}", end="", file=sys.stderr, flush=True)
            last = line

    try:
        yield draw
    finally:
        if last:
            print(file=sys.stderr)
