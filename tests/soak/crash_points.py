"""Cuts the power at every point between a journal write and an effect of one dinner, one after another.

After each the same journal is opened again and the dinner goes on to its end. Wrong is a call that is never
made, or made again although it was known to have been made. Ends with 1 if anything was wrong.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.service.crash_points import live
from tests.service.kitchen import quay_plan


def main() -> int:
    """Every point; 1 if anything was wrong."""
    with tempfile.TemporaryDirectory(prefix="kitchend-points-") as top:
        plan = quay_plan(Path(top))
        wrong: list[str] = []
        count = 0
        while True:
            folder = Path(top) / str(count + 1)
            folder.mkdir()
            lives = live(plan, folder, count + 1)
            if not lives.where:
                break
            count += 1
            wrong += lives.wrong()
    print(f"{count} points, {len(wrong)} wrong", *wrong, sep="\n  ")
    return 1 if wrong or not count else 0


if __name__ == "__main__":
    sys.exit(main())
