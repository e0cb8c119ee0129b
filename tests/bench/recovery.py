"""How long a restart takes with a long journal, from opening it to going on, with a snapshot and without.

The journal is that of a cook who talks to kitchend every minute and sets a timer every five, and of a dinner
planned again every ten minutes. Prints a table; asserts nothing.
"""

from __future__ import annotations

import tempfile
from contextlib import closing
from pathlib import Path

from kitchend.core.plan import Plan
from kitchend.service.journal import open_journal
from kitchend.service.snapshot import FileSnapshots
from kitchend.service.wall_clock import Stopwatch
from tests.service.kitchen import START, Kitchen, quay_plan

WORDS = ("what's on", "when do we eat", "how long on the rice", "heard", "are we on time", "what's next")
HOURS = (1, 4, 12)


def live(plan: Plan, path: Path, hours: int) -> Kitchen:
    """So many hours in simulated time."""
    with closing(open_journal(path, wall=lambda: START.wall, complain=print)) as journal:
        kitchen = Kitchen(plan, journal, snapshots=FileSnapshots(path.with_name("snapshot")))
        kitchen.begin()
        kitchen.type("rice is on")
        for minute in range(hours * 60):
            kitchen.type(WORDS[minute % len(WORDS)])
            if minute % 5 == 0:
                kitchen.type(f"time the egg {minute} for {minute % 50 + 10} minutes")
            if minute % 10 == 0:
                kitchen.type("serve fifteen minutes later")
            kitchen.wait(1)
    return kitchen


def restart(kitchen: Kitchen, path: Path, *, is_quick: bool) -> tuple[float, int]:
    """Seconds until it could go on, and how many events there were."""
    watch = Stopwatch()
    with closing(open_journal(path, wall=lambda: START.wall, complain=print)) as journal:
        snapshots = FileSnapshots(path.with_name("snapshot")) if is_quick else None
        again = Kitchen(kitchen.plan, journal, at=kitchen.clock.now(), snapshots=snapshots)
        again.runner.restore()
        took_s = watch.took_s
        assert again.runner.state == kitchen.runner.state
        return took_s, sum(1 for _ in journal.events())


def main() -> None:
    """Print the table."""
    print("hours  events    MB  restart with a snapshot  without")
    for hours in HOURS:
        with tempfile.TemporaryDirectory(prefix="kitchend-recovery-") as folder:
            path = Path(folder) / "journal.sqlite3"
            kitchen = live(quay_plan(Path(folder)), path, hours)
            quick_s, count = restart(kitchen, path, is_quick=True)
            slow_s, _ = restart(kitchen, path, is_quick=False)
            size = path.stat().st_size / 1e6
        print(f"{hours:5d}  {count:6d}  {size:4.1f}  {quick_s:21.2f} s  {slow_s:5.1f} s", flush=True)


if __name__ == "__main__":
    main()
