"""Days of dinners in simulated time through the real runner, journal and planner, and what they leave behind.

Each day a dinner is cooked to its end, things are timed, and whatever comes to mind is asked; journals are
put away and forgotten as in real life. What the test's own kitchen remembers is thrown away every night.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from kitchend.core.clock import WallTime
from kitchend.core.plan import Plan
from kitchend.service.journal import open_journal
from kitchend.service.planner_apart import PlannerApart
from kitchend.service.snapshot import FileSnapshots
from tests.cli.footprint import resident_mb
from tests.service.kitchen import START, Kitchen

KEEP_DAYS = 2
"""Fewer than the days lived, so that old dinners are forgotten meanwhile."""
ASKED = ("what's on", "when do we eat", "how long on the rice", "what's next", "heard", "are we on time")
NOISE = ("the news at six", "no I told you", "seventeen", "that one over there")
DAY_MINUTES = 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """How much this process held at its end, how many dinners were served in it, what was complained of."""

    resident_mb: float
    dinners: int
    rung: int
    complaints: tuple[str, ...]


def live_days(plan: Plan, folder: Path, count: int, phrases: int) -> Iterator[Day]:
    """So many days, given one by one; so many things are asked in each, besides the dinner."""
    path = folder / "journal.sqlite3"
    with closing(PlannerApart()) as planner:
        wall = [START.wall]
        opening = open_journal(path, wall=lambda: wall[0], complain=print, keep_days=KEEP_DAYS)
        with closing(opening) as journal:
            snapshots = FileSnapshots(path.with_name("snapshot"))
            kitchen = Kitchen(plan, journal, planner=planner, snapshots=snapshots)
            kitchen.runner.introduce()
            for _ in range(count):
                yield _day(kitchen, phrases, wall)


def _day(kitchen: Kitchen, phrases: int, wall: list[WallTime]) -> Day:
    began = kitchen.clock.now().instant
    kitchen.type("cook the quay supper")
    kitchen.cook_it_all()
    kitchen.type("serve five minutes earlier")
    kitchen.wait(30)
    rest_minutes = DAY_MINUTES - (kitchen.clock.now().instant - began) / 60
    for number in range(phrases):
        kitchen.type((*ASKED, *NOISE)[number % len((*ASKED, *NOISE))])
        if number % 3 == 0:
            kitchen.type(f"time the eggs for {number % 7 + 2} minutes")
        kitchen.wait(rest_minutes / phrases)
    wall[0] = kitchen.clock.now().wall
    return _night(kitchen)


def _night(kitchen: Kitchen) -> Day:
    dinners, rung = int(kitchen.has_ended), sum("time is up" in text for text in kitchen.said)
    complaints = tuple(kitchen.complaints)
    for kept in (kitchen.stepped, kitchen.mouth.said, kitchen.listener.asked, kitchen.complaints):
        kept.clear()
    gc.collect()
    return Day(resident_mb=resident_mb(os.getpid()), dinners=dinners, rung=rung, complaints=complaints)
