"""A week of dinners, timers and questions in simulated time: memory must not grow.

The runner, the journal, its snapshots and the planner are the real ones; time and the mouth are not. Wrong
is a dinner not served, a complaint, or 5 MB more at the end of the last day than at the end of the first.

    python tests/soak/week.py [--days 8] [--phrases 300]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.service.kitchen import quay_plan
from tests.service.long_week import Day, live_days

GROWTH_MB = 5.0


def main() -> int:
    """Live through it and print the figures; 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--days", type=int, default=8, help="the first is for loading what is needed")
    parser.add_argument("--phrases", type=int, default=300, help="a day, besides its dinner")
    asked = parser.parse_args()
    days: list[Day] = []
    with tempfile.TemporaryDirectory(prefix="kitchend-week-") as folder:
        for day in live_days(quay_plan(Path(folder)), Path(folder), asked.days, asked.phrases):
            days.append(day)
            print(f"day {len(days)}: {day.resident_mb:.1f} MB, {day.rung} timers rung", flush=True)
    growth_mb = days[-1].resident_mb - days[0].resident_mb
    unserved = sum(day.dinners != 1 for day in days)
    complaints = [line for day in days for line in day.complaints]
    print(f"memory grew by {growth_mb:.1f} MB (claimed: under {GROWTH_MB:g})", end=", ")
    print(f"{unserved} dinners not served, {len(complaints)} complaints", *complaints[:20], sep="\n  ")
    return 0 if growth_mb < GROWTH_MB and not unserved and not complaints else 1


if __name__ == "__main__":
    sys.exit(main())
