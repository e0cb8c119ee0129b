"""Kills the real service hundreds of times while 50 timers and a dinner are on, and holds a book against it.

Wrong is: a timer that is missing or has moved, one that rings early, late without saying so, or never, and
any call made twice, but for one that was cut off by the kill. Ends with 1 if anything was wrong.

    python tests/soak/kills.py [--kills 500] [--timers 50] [--seed 1]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from os import getloadavg
from pathlib import Path
from statistics import median, quantiles

from tests.service.kills import NEAR_S, Book, Siege


def tell(number: int, book: Book) -> None:
    """A line now and then."""
    if number % 25 == 0:
        print(f"{number:5d} kills  {len(book.rung):5d} timers rung  {len(book.wrong)} wrong", flush=True)
        print(*(f"       {line}" for line in book.wrong[-3:]), sep="\n", flush=True)


def main() -> int:
    """Besiege it and print the figures; 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--timers", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="kitchend-kills-") as folder:
        siege = Siege(Path(folder), timers=asked.timers, seed=asked.seed, spans_s=(5, 120))
        book = siege.run(asked.kills, tell)
    late = [seconds for seconds in book.late_s if seconds > NEAR_S]
    again = sum(len(entry.calls) > 1 for entry in book.rung.values())
    after = sum(entry.is_late for entry in book.rung.values())
    print(f"{asked.kills} kills, {len(book.starts_s)} of them after it was ready", end="; ")
    print(f"ready after {median(book.starts_s):.2f} s (median), {max(book.starts_s):.2f} s (longest)")
    print(
        f"{len(book.rung)} timers rung, {after} of them marked late, {again} made again after being cut off"
    )
    ends = quantiles(book.late_s, n=100)
    print(
        f"rung after they were due, or after it was ready: {ends[49]:.3f} s median, {ends[98]:.3f} s 99 %",
        end="; ",
    )
    print(f"{len(late)} by more than {NEAR_S:g} s (longest {max(book.late_s):.2f} s)")
    print(f"loads while it ran: {getloadavg()}")
    print(f"{len(book.wrong)} wrong", *book.wrong[:50], sep="\n  ")
    return 1 if book.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
