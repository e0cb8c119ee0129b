"""One thread for slow jobs such as planning, so that the loop goes on listening and calling meanwhile."""

from __future__ import annotations

from queue import SimpleQueue
from threading import Thread

from kitchend.service.carrying import Job

PATIENCE_S = 6.0
"""How long `close` waits for a job in progress; one that takes longer is left behind."""


class Worker:
    """Does jobs one after another, in the order given. A job catches its own errors."""

    def __init__(self) -> None:
        self._jobs: SimpleQueue[Job | None] = SimpleQueue()
        self._thread = Thread(target=self._work, name="worker", daemon=True)
        self._thread.start()

    def __call__(self, job: Job) -> None:
        """Do this job when its turn comes."""
        self._jobs.put(job)

    def close(self) -> None:
        """Do no more; wait a little for the job in progress."""
        self._jobs.put(None)
        self._thread.join(PATIENCE_S)

    def _work(self) -> None:
        while (job := self._jobs.get()) is not None:
            job()
