"""Ten thousand timers at once: how late the decision to call is, and what a timer weighs.

Beside it, in the same run, the same timers as bare APScheduler jobs and as bare asyncio timers. A few
hundred of them fall due while it is measured; the rest run on, as they would. Printed, never asserted.
"""

from __future__ import annotations

import asyncio
import gc
import tempfile
import tracemalloc
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from threading import Event as Flag
from threading import Thread

from apscheduler.schedulers.background import BackgroundScheduler

from kitchend.core.clock import Instant
from kitchend.core.dinner import begin
from kitchend.core.events import MannersSet
from kitchend.core.state import DinnerState, Manners
from kitchend.core.timers import Timer, TimerId
from kitchend.service.alarms import SchedulerAlarms
from kitchend.service.journal import SqliteJournal, open_journal
from kitchend.service.memory import MemoryMouth, MemoryPlans
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Snapshot
from kitchend.service.runner import Runner, Stepped
from kitchend.service.snapshot import FileSnapshots
from kitchend.service.wall_clock import SystemClock, running_s, wall_now

TIMERS = 10_000
DUE = 200
APART_S = 0.05
LEAD_S = 5.0
FAR_S = 36_000.0
MEMORY_DISK = Path("/dev/shm")
"""Where nobody else's writing is waited for: what is left is kitchend's own work."""

Lateness = list[float]


def dues(start_s: float) -> list[float]:
    """When each falls due: the first few hundred one after another, the rest in some hours."""
    soon = [start_s + LEAD_S + APART_S * number for number in range(DUE)]
    return soon + [start_s + FAR_S + number for number in range(TIMERS - DUE)]


def of_kitchend(disk: Path | None = None) -> Lateness:
    """From the due instant to the step that decides to call; journal and snapshots on a disk, as always."""
    with (
        tempfile.TemporaryDirectory(prefix="kitchend-timers-", dir=disk) as folder,
        closing(open_journal(Path(folder) / "journal.sqlite3", wall=wall_now, complain=print)) as journal,
    ):
        return lateness_of(journal, FileSnapshots(Path(folder) / "snapshot"))


def lateness_of(journal: SqliteJournal, snapshots: FileSnapshots) -> Lateness:
    """The real runner's, with these."""
    clock = SystemClock()
    journal.begin_run(clock.boot)
    late: Lateness = []
    done = Flag()
    state = with_timers(dues(clock.now().instant.s))
    now = clock.now()
    journal.append(MannersSet(manners=Manners()), now)
    snapshots.keep(Snapshot(count=1, now=now, state=state, has_ended=False, opening=None))
    alarms = SchedulerAlarms(clock).start()

    def see(stepped: Stepped) -> None:
        at_s = running_s() + clock.boot.shift_s
        rung = {call.timer for call in (*stepped.state.waiting_calls, *stepped.state.open_calls)}
        before = {call.timer for call in (*stepped.before.waiting_calls, *stepped.before.open_calls)}
        fresh = rung - before
        late.extend(at_s - timer.due.s for timer in state.timers if timer.due and timer.id in fresh)
        if len(late) >= DUE:
            done.set()

    runner = Runner(
        clock=clock,
        journal=journal,
        alarms=alarms,
        mouth=MemoryMouth(),
        planner=SolvingPlanner(None),
        plans=MemoryPlans({}),
        snapshots=snapshots,
        observers=(see,),
    )
    assert runner.restore()
    thread = Thread(target=runner.run_forever)
    thread.start()
    done.wait(LEAD_S + APART_S * DUE + 60)
    runner.stop()
    thread.join()
    alarms.close()
    return late


def with_timers(due_s: list[float]) -> DinnerState:
    """A state in which these run."""
    timers = (
        Timer(id=TimerId(f"timer {number}"), name=f"timer {number}", due=Instant(at))
        for number, at in enumerate(due_s, 1)
    )
    return replace(begin(), timers=tuple(timers))


def of_apscheduler() -> Lateness:
    """Ten thousand jobs of a background scheduler."""
    late: Lateness = []
    scheduler = BackgroundScheduler(timezone="UTC", job_defaults={"misfire_grace_time": None})
    start = datetime.now().astimezone() + timedelta(seconds=20)
    start_s = running_s() + 20
    for at_s in dues(start_s):
        late_job = partial(lambda due_s: late.append(running_s() - due_s), at_s)
        scheduler.add_job(late_job, "date", run_date=start + timedelta(seconds=at_s - start_s))
    scheduler.start()
    Flag().wait(max(0.0, start_s - running_s()) + LEAD_S + APART_S * DUE + 2)
    scheduler.shutdown()
    return late


def of_asyncio() -> Lateness:
    """Ten thousand timers of an event loop."""
    late: Lateness = []

    async def run() -> None:
        loop = asyncio.get_running_loop()
        shift_s = loop.time() - running_s()
        for at_s in dues(running_s()):
            loop.call_at(at_s + shift_s, lambda due_s: late.append(running_s() - due_s), at_s)
        await asyncio.sleep(LEAD_S + APART_S * DUE + 1)

    asyncio.run(run())
    return late


def bytes_a_timer() -> float:
    """What a running timer adds to the state."""
    gc.collect()
    tracemalloc.start()
    state = with_timers(dues(0.0))
    size, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return size / len(state.timers)


def main() -> None:
    """Print a line for each."""
    print(f"{TIMERS} timers, {DUE} of them due {1000 * APART_S:g} ms apart; lateness in ms")
    measured: dict[str, Callable[[], Lateness]] = {
        "kitchend, to the decision": of_kitchend,
        "the same, disk in memory": partial(of_kitchend, MEMORY_DISK),
        "bare APScheduler": of_apscheduler,
        "bare asyncio": of_asyncio,
    }
    for name, measure in measured.items():
        late = [1000 * each for each in measure()]
        print(
            f"  {name:<28} n {len(late):4}  median {median(late):7.2f}"
            f"  p99 {quantiles(late, n=100)[98]:7.2f}  worst {max(late):7.2f}"
        )
    print(f"  a timer weighs {bytes_a_timer():.0f} bytes")


if __name__ == "__main__":
    main()
