"""How soon a call that was known ahead is heard: from the due moment to its first sample in the room.

Real alarm, runner, journal on disk, voice and loudspeaker in a room without hardware; the moment the first
sample is heard is read off the room's own microphone, which is late by some milliseconds itself. Each call
is a dinner of one timer, stopped once it is heard. Prints; asserts nothing.

PYTHONPATH=. python tests/bench/promptness.py [--calls 1000]
"""

from __future__ import annotations

import argparse
import os
import subprocess
import tempfile
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from statistics import median, quantiles
from threading import Event as Flag
from threading import Thread

import numpy as np

from kitchend.core.clock import Instant
from kitchend.core.effects import CallKind
from kitchend.core.events import MannersSet
from kitchend.core.state import Manners
from kitchend.hearing.ports import Samples
from kitchend.rehearsal.room import Room, RoomUnavailable
from kitchend.service.alarms import SchedulerAlarms
from kitchend.service.journal import SqliteJournal
from kitchend.service.memory import MemoryPlans, MemorySnapshots
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Snapshot, SpeechDone
from kitchend.service.runner import Runner
from kitchend.service.wall_clock import SystemClock, running_s
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.mouth import SpeakingMouth
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import PLAIN, Manner
from tests.bench.timers import with_timers

RATE = 16_000
LOUD = 0.02
LEAD_S = 0.6
"""How long before it is due a timer is set: the voice makes its sentence in that time."""

LOST_S = 3.0


class Tap:
    """The room's microphone, each piece with the moment it came."""

    def __init__(self, room: Room) -> None:
        command = [
            "parec",
            "--device=room.monitor",
            "--raw",
            f"--rate={RATE}",
            "--channels=1",
            "--format=s16le",
        ]
        self._program = subprocess.Popen(
            [*command, "--latency-msec=10"],
            env=os.environ | dict(room.environment),
            stdout=subprocess.PIPE,
        )
        self._pieces: deque[tuple[float, Samples]] = deque(maxlen=400)
        self._thread = Thread(target=self._listen, daemon=True)
        self._thread.start()

    def _listen(self) -> None:
        pipe = self._program.stdout
        while pipe is not None and (data := os.read(pipe.fileno(), 65_536)):
            sound = np.frombuffer(data[: len(data) // 2 * 2], "<i2").astype(np.float32) / 32_768
            self._pieces.append((running_s(), np.asarray(sound, np.float32)))

    def first_loud_after(self, moment_s: float) -> float | None:
        """When the first loud sample after a moment was heard; None: not yet."""
        for came_s, sound in self._pieces.copy():
            loud = np.flatnonzero(np.abs(sound) > LOUD)
            at_s = came_s - (len(sound) - loud[0]) / RATE if len(loud) else 0.0
            if at_s > moment_s:
                return at_s
        return None

    def close(self) -> None:
        """Listen no more."""
        self._program.terminate()
        self._program.wait()
        self._thread.join()
        if self._program.stdout is not None:
            self._program.stdout.close()


class OneCall:
    """A service's mouth over the one that speaks."""

    def __init__(self, mouth: SpeakingMouth) -> None:
        self._mouth = mouth
        self.is_over = Flag()

    def prepare(self, texts: Sequence[str]) -> None:
        """Have it ready."""
        self._mouth.prepare(texts)

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Say it."""

        def done(ok: bool) -> None:
            on_done(ok)
            self.is_over.set()

        self._mouth.say(text, kind.value, manner=manner, on_done=done)

    def stop(self) -> None:
        """Stop it."""
        self._mouth.stop()


@contextmanager
def due_soon(mouth: OneCall, folder: Path) -> Iterator[float]:
    """A dinner with one timer; gives the moment it is due, on the running clock."""
    clock, path = SystemClock(), folder / "journal.sqlite3"
    path.unlink(missing_ok=True)
    journal, snapshots, alarms = SqliteJournal(path), MemorySnapshots(), SchedulerAlarms(clock).start()
    now = clock.now()
    due = Instant(now.instant.s + LEAD_S)
    journal.append(MannersSet(manners=Manners()), now)
    state = with_timers([due.s])
    snapshots.keep(Snapshot(count=1, now=now, state=state, has_ended=False, opening=None))
    runner = Runner(
        clock=clock,
        journal=journal,
        alarms=alarms,
        mouth=mouth,
        planner=SolvingPlanner(None),
        plans=MemoryPlans({}),
        snapshots=snapshots,
    )
    runner.restore()
    thread = Thread(target=runner.run_forever)
    thread.start()
    try:
        yield due.s - clock.boot.shift_s
    finally:
        runner.stop()
        thread.join()
        alarms.close()
        journal.close()


def measured(calls: int) -> list[float]:
    """How late the first sample of each was, in seconds; RoomUnavailable."""
    late: list[float] = []
    with Room() as room, room.enter_process(), tempfile.TemporaryDirectory() as folder:
        tap = Tap(room)
        with SpeakingMouth(EspeakVoice(), SpeakerPlayer()) as speaking:
            for _ in range(calls):
                mouth = OneCall(speaking)
                with due_soon(mouth, Path(folder)) as due_s:
                    heard_s, waited = None, Flag()
                    while heard_s is None and running_s() < due_s + LOST_S:
                        waited.wait(0.02)
                        heard_s = tap.first_loud_after(due_s)
                    late.append(LOST_S if heard_s is None else heard_s - due_s)
                    mouth.stop()
                    mouth.is_over.wait(LOST_S)
        tap.close()
    return late


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--calls", type=int, default=1000)
    try:
        late = [1000 * each for each in measured(parser.parse_args().calls)]
    except RoomUnavailable as error:
        print(f"SKIPPED: nothing was measured in the room: {error}")
        return
    lost = sum(each >= 1000 * LOST_S for each in late)
    ways = quantiles(late, n=100)
    print(
        f"{len(late)} calls known ahead, due to first sample in the room, ms: median {median(late):.0f},"
        f" 95th percentile {ways[94]:.0f}, 99th {ways[98]:.0f}, worst {max(late):.0f}; not heard: {lost}"
    )


if __name__ == "__main__":
    main()
