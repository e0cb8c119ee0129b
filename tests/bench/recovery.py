"""How long a restart takes with a long journal: until it can go on, and until the real process listens again.

The journal is that of a cook who talks to kitchend every minute and sets a timer every five, and of a dinner
planned again every ten minutes. Prints a table; asserts nothing.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from contextlib import closing
from pathlib import Path
from statistics import median

from kitchend.core.plan import Plan
from kitchend.rehearsal.room import Room, RoomUnavailable
from kitchend.service.journal import open_journal
from kitchend.service.snapshot import FileSnapshots
from kitchend.service.wall_clock import Stopwatch
from tests.cli.process import kitchend
from tests.service.kitchen import START, Kitchen, quay_plan

WORDS = ("what's on", "when do we eat", "how long on the rice", "heard", "are we on time", "what's next")
HOURS = (1, 4, 12)
STARTS = 5
GIVE_UP_S = 30.0


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


def recorders() -> int:
    """How many take sound from the room's microphone just now."""
    asked = ["pactl", "list", "short", "source-outputs"]
    return len(subprocess.run(asked, capture_output=True, check=True).stdout.splitlines())


def listens_after() -> float:
    """Seconds from the start of `kitchend run` until it takes sound from the microphone, its ears loaded."""
    of_the_room = recorders()
    with kitchend("run") as process:
        watch = Stopwatch()
        while recorders() == of_the_room:
            if watch.took_s > GIVE_UP_S:
                raise TimeoutError(f"it did not listen:\n{process.told}")
            time.sleep(0.02)
        took_s = watch.took_s
        process.wait_for("carrying on with the dinner that was on")
    return took_s


def real_restarts() -> None:
    """The real service, both ears, on the journal of twelve hours."""
    with Room() as room, tempfile.TemporaryDirectory(prefix="kitchend-recovery-") as own:
        os.environ.update({f"XDG_{name}_HOME": f"{own}/{name.lower()}" for name in ("CONFIG", "STATE")})
        os.environ.update(room.environment)
        state = Path(own) / "state" / "kitchend"
        state.mkdir(parents=True)
        live(quay_plan(Path(own)), state / "journal.sqlite3", HOURS[-1])
        took_s = [listens_after() for _ in range(STARTS)]
    print(
        f"kitchend run, both ears, {HOURS[-1]} hours of journal: listens {median(took_s):.2f} s after its"
        f" start (median of {STARTS}, longest {max(took_s):.2f} s)"
    )


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
    try:
        real_restarts()
    except RoomUnavailable as error:
        print(f"SKIPPED: the real process, as there is no room for it: {error}")


if __name__ == "__main__":
    main()
