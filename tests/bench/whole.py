"""The whole of kitchend measured from outside: commands, a rehearsal, a dinner cooked in a room of air only.

Prints; asserts nothing. Processes are real, sound goes through PulseAudio, the answer's delay is read off a
recording of the room: from the last loud sample of the phrase to the first of the answer.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from kitchend.rehearsal.cook_voices import cook_voice
from kitchend.rehearsal.room import Room, RoomUnavailable
from kitchend.speaking.sound import Sound
from tests.cli.process import Process, hours_on

PLAN = "plans/boathouse-sunday.yaml"
LOUD = 0.01
"""Full scale is 1; what lies above this is speech or a chime."""
QUESTIONS = (
    "how long on the turkey", "when do we eat", "what's next", "are we on time", "what's on",
    "how long on the cabbage", "when is dinner", "what comes next", "say again",
)  # fmt: skip


def main() -> None:
    """Print the figures."""
    for command in (("check", PLAN), ("timeline", PLAN, "--serve", "tomorrow 18:30")):
        print(f"kitchend {command[0]:10} {fastest(3, *command):6.2f} s, whole process")
    rehearsal()
    try:
        for ears in ("both", "first"):
            cooking(ears)
    except RoomUnavailable as error:
        print(f"SKIPPED: nothing was measured in the room: {error}")


def fastest(tries: int, *command: str) -> float:
    """The shortest of a few runs of a command, in seconds."""
    times = []
    for _ in range(tries):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "kitchend", *command], capture_output=True, check=True)
        times.append(time.perf_counter() - began)
    return min(times)


def rehearsal() -> None:
    """How long a dinner of twenty steps takes to rehearse, ears and all."""
    command = [sys.executable, "-m", "kitchend", "rehearse", PLAN, "--json"]
    done = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    right = sum(phrase["right"] for phrase in done["phrases"])
    print(
        f"rehearse, {done['steps']} steps, {len(done['phrases'])} phrases: {done['took_s']:.0f} s, "
        f"{right} of {len(done['phrases'])} right, late by {done['late_by_s']} s"
    )


@contextmanager
def own_folders(ears: str) -> Iterator[dict[str, str]]:
    """An environment in which a process finds its settings and leaves its journal."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "kitchend").mkdir()
        (home / "kitchend" / "settings.yaml").write_text(f"ears: {ears}\n", "utf-8")
        yield {"XDG_CONFIG_HOME": folder, "XDG_STATE_HOME": str(home / "state")}


def cooking(ears: str) -> None:
    """How soon `cook` is ready, what it holds in memory, and how soon it answers."""
    with Room() as room, own_folders(ears) as own:
        os.environ.update({**room.environment, **own})
        began = time.perf_counter()
        process = Process("cook", PLAN, "--serve", hours_on(), "--afresh")
        try:
            process.wait_for("The pass is at")
            ready_s = time.perf_counter() - began
            time.sleep(12)
            apart_mb = planner_mb(process.child.pid)
            delays = [delay for delay in (answered(room, text) for text in QUESTIONS) if delay is not None]
            print(
                f"cook, ears: {ears:6} ready in {ready_s:.1f} s, "
                f"{resident_mb(process.child.pid):.0f} MB resident, {apart_mb:.0f} MB in its planner before, "
                f"answers {len(delays)} of {len(QUESTIONS)} questions, "
                f"median {statistics.median(delays) if delays else float('nan'):.2f} s after the phrase"
            )
        finally:
            process.end()


def resident_mb(process: int) -> float:
    """What a process holds in memory now."""
    pages = int(Path(f"/proc/{process}/statm").read_text("utf-8").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def planner_mb(process: int) -> float:
    """What the process of its own that it plans in holds; 0 when that has gone to rest."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    return sum(resident_mb(int(child)) for task in tasks for child in task.read_text("utf-8").split())


def answered(room: Room, question: str) -> float | None:
    """Seconds from the end of the question to the first sound of the answer; None if there was none."""
    sound = cook_voice("slt").render(f"hey kitchen {question}")
    await_quiet(room)
    with room.recording(16_000) as tape:
        room.play(sound)
        time.sleep(4)
    return gap_s(tape.sound, sound.duration_s)


def await_quiet(room: Room) -> None:
    """Return when nobody has spoken for a second: kitchend is deaf while it speaks."""
    for _ in range(20):
        with room.recording(16_000) as tape:
            time.sleep(1)
        if not np.any(np.abs(tape.sound.samples) > LOUD):
            return


def gap_s(recording: Sound, phrase_s: float) -> float | None:
    """The silence behind the first `phrase_s` seconds of sound, up to the next sound."""
    (loud,) = np.nonzero(np.abs(recording.samples) > LOUD)
    if not len(loud):
        return None
    limit = loud[0] + int((phrase_s + 0.1) * recording.rate)
    phrase, after = loud[loud <= limit], loud[loud > limit]
    return float(after[0] - phrase[-1]) / recording.rate if len(after) else None


if __name__ == "__main__":
    main()
