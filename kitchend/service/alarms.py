"""Rings at the next deadline, through APScheduler. The core decides what a ring means; this only fires.

There is one job at most. APScheduler counts in wall time, deadlines are in running time, so when the job
fires, and whenever `check` is called, running time has the last word: too early, and the job is set again.
"""

from __future__ import annotations

import logging
from contextlib import suppress
from threading import Lock

from apscheduler.jobstores.base import JobLookupError
from apscheduler.schedulers.background import BackgroundScheduler

from kitchend.core.clock import Instant
from kitchend.service.ports import Clock, Ring

JOB = "next deadline"

ALWAYS_FIRES = {"misfire_grace_time": None, "coalesce": True, "max_instances": 8}
"""A deadline that was missed, or comes while the last one is still being rung, fires all the same."""

MOVED_S = 0.5
"""A wall clock that gained or lost more than this against running time was moved by somebody."""


class SchedulerAlarms:
    """One APScheduler job for the next deadline; `start` before use."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._lock = Lock()
        self._wish: tuple[Instant, Ring] | None = None
        self._wall_ahead_s = 0.0
        logging.getLogger("apscheduler").setLevel(logging.ERROR)
        self._scheduler = BackgroundScheduler(timezone="UTC", job_defaults=ALWAYS_FIRES)

    def start(self) -> SchedulerAlarms:
        """Begin to watch the time, in a thread of its own."""
        self._scheduler.start()
        return self

    def wake_at(self, at: Instant | None, ring: Ring) -> None:
        """Set the one job, or take it away."""
        with self._lock:
            self._wish = None if at is None else (at, ring)
            self._set()

    def check(self) -> None:
        """Ring if the instant has come; set the job again if the wall clock was moved."""
        self._fire(only_if_moved=True)

    def close(self) -> None:
        """Stop the thread."""
        with self._lock:
            self._wish = None
            # A job that falls due while the scheduler shuts down would end its thread with an error.
            self._set()
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    def _set(self) -> None:
        if self._wish is None:
            with suppress(JobLookupError):
                self._scheduler.remove_job(JOB)
            return
        now = self._clock.now()
        self._wall_ahead_s = now.wall.epoch_s - now.instant.s
        at = now.wall_of(self._wish[0]).local
        self._scheduler.add_job(self._fire, "date", run_date=at, id=JOB, replace_existing=True)

    def _fire(self, only_if_moved: bool = False) -> None:
        with self._lock:
            if self._wish is None:
                return
            at, ring = self._wish
            now = self._clock.now()
            if now.instant < at:
                moved_s = abs(now.wall.epoch_s - now.instant.s - self._wall_ahead_s)
                if not only_if_moved or moved_s > MOVED_S:
                    self._set()
                return
            self._wish = None
        ring()
