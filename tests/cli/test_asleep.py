"""`kitchend run` on a machine that sleeps for twenty minutes.

Nobody can suspend the machine under a test, so the real process is stopped and its clocks go on without it as
they do then: CLOCK_REALTIME and CLOCK_BOOTTIME by twenty minutes, CLOCK_MONOTONIC not (clock_gettime(2)), so
that whatever it was waiting for has not come nearer. A small library loaded before the C library does that.
"""

from __future__ import annotations

import json
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from threading import Event

import pytest

from tests.cli.process import kitchend
from tests.cli.test_clocks import NUMBERS, status, told
from tests.cli.test_clocks import plans as plans

pytestmark = pytest.mark.slow

SOURCE = Path(__file__).with_name("asleep.c")
ASLEEP_S = 1200
CLOCKS = """
import json, time
names = ("CLOCK_REALTIME", "CLOCK_BOOTTIME", "CLOCK_MONOTONIC")
print(json.dumps([*[time.clock_gettime(getattr(time, name)) for name in names], time.time()]))
"""


class Machine:
    """A machine that sleeps when it is told to."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def slept(self, seconds: int) -> None:
        """Its clocks are so far on from here."""
        fresh = self._file.with_suffix(".new")
        fresh.write_text(f"{seconds}\n")
        fresh.replace(self._file)


@pytest.fixture
def machine(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    if shutil.which("cc") is None:
        pytest.skip(
            "NO SLEEP: the clocks of a sleeping machine need a compiler (apt-get install gcc libc6-dev)"
        )
    library = own_folders / "asleep.so"
    command = ["cc", "-shared", "-fPIC", "-O1", "-Wall", "-Werror", str(SOURCE), "-o", str(library), "-ldl"]
    built = subprocess.run(command, capture_output=True, text=True, check=False)
    if built.returncode:
        pytest.skip(f"NO SLEEP: {built.stderr.strip()} (apt-get install gcc libc6-dev)")
    monkeypatch.setenv("LD_PRELOAD", str(library))
    monkeypatch.setenv("ASLEEP_FILE", str(own_folders / "asleep"))
    return Machine(own_folders / "asleep")


def test_the_clocks_are_those_of_a_machine_that_slept(machine: Machine) -> None:
    def clocks() -> list[float]:
        done = subprocess.run([sys.executable, "-c", CLOCKS], capture_output=True, text=True, check=True)
        read: list[float] = json.loads(done.stdout)
        return read

    before = clocks()
    machine.slept(ASLEEP_S)
    went = [round((after - then) / ASLEEP_S) for then, after in zip(before, clocks(), strict=True)]
    assert went == [1, 1, 0, 1]


def test_what_fell_due_in_twenty_minutes_of_sleep_rings_at_once_in_order_and_merged(machine: Machine) -> None:
    with kitchend("run") as service:
        service.wait_for("ready, 1 plan")
        told("cook the long supper for half past eleven")
        told("beans are on")
        for name, minutes in (("figs", "thirteen"), ("buns", "ten"), ("eggs", "twelve"), ("tart", "thirty")):
            told(f"time the {name} for {minutes} minutes")
        before = status()
        service.child.send_signal(signal.SIGSTOP)
        Event().wait(1)
        machine.slept(ASLEEP_S)
        service.child.send_signal(signal.SIGCONT)
        line = service.wait_for("ago.")
        called = re.findall(r"the (\w+) (\w+) minutes ago", line)
        assert [name.lower() for name, _ in called] == ["buns", "eggs", "figs"], line
        late = [NUMBERS.index(number) for _, number in called]
        assert late == sorted(late, reverse=True), line
        assert all(0 <= minutes - wanted <= 1 for minutes, wanted in zip(late, (10, 8, 7), strict=True)), line
        after = status()
        (tart,) = [timer for timer in after["timers"] if timer["name"] == "tart"]
        assert 540 < tart["left_s"] <= 600
        assert after["serve"] == before["serve"]
        (beans,) = after["going"]
        assert before["going"][0]["left_s"] - beans["left_s"] >= ASLEEP_S
        assert "The clock went" not in service.told, "it slept; nobody set the clock"
        assert service.end() == 0
        assert "Traceback" not in service.told
