"""Real kitchend processes whose sound devices another program holds: busy, or there and giving nothing.

Busy is a terminal that another program opened for itself alone (tty_ioctl(4), TIOCEXCL), made a sound device
by ALSA's OSS plug-in: the kernel answers EBUSY to whoever opens it, as it does for a sound card in use.
Giving nothing is a sink of PulseAudio that is suspended, as while another program has the card reserved.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import subprocess
import termios
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from kitchend.rehearsal.room import Room
from tests.cli.process import KITCHEND, Process, done, kitchend
from tests.cli.test_cook import QUICK
from tests.cli.test_in_room import room as room
from tests.cli.test_in_room import say_until_answered

pytestmark = [pytest.mark.sound, pytest.mark.slow]

HELD = "another program holds it"


class Card:
    """The room's sound device, which another program may take for itself."""

    def __init__(self, room: Room, terminal: str) -> None:
        self._config = Path(room.environment["ALSA_CONFIG_PATH"])
        self._free = self._config.read_text()
        self._held = f'pcm.!default {{ type oss device "{terminal}" }}\nctl.!default {{ type pulse }}\n'

    def take(self) -> None:
        """From now on nobody else can open it."""
        self._config.write_text(self._held)

    def let_go(self) -> None:
        """Everybody can again."""
        self._config.write_text(self._free)


@pytest.fixture
def card(room: Room, monkeypatch: pytest.MonkeyPatch) -> Iterator[Card]:
    """Who may do anything opens even what is held: so kitchend runs without that right here."""
    if not list(Path("/usr/lib").glob("*/alsa-lib/libasound_module_pcm_oss.so")):
        pytest.skip("NO DEVICE TO HOLD: ALSA's OSS plug-in is missing (apt-get install libasound2-plugins)")
    if os.geteuid() == 0:
        if shutil.which("setpriv") is None:
            pytest.skip(
                "NO DEVICE TO HOLD: root needs setpriv to be refused one (apt-get install util-linux)"
            )
        lesser = ["setpriv", "--bounding-set=-sys_admin", *KITCHEND]
        monkeypatch.setattr("tests.cli.process.KITCHEND", lesser)
    ours, theirs = os.openpty()
    fcntl.ioctl(theirs, termios.TIOCEXCL)
    yield Card(room, os.ttyname(theirs))
    os.close(theirs)
    os.close(ours)


@pytest.fixture
def quick(tmp_path: Path) -> str:
    path = tmp_path / "quick.yaml"
    path.write_text(QUICK)
    return str(path)


@contextmanager
def dinner(quick: str) -> Iterator[Process]:
    with kitchend("cook", quick, "--serve", "23:59") as process:
        process.wait_for("The pass is at")
        yield process
        assert process.end() == 0
    assert "this is a bug" not in process.told
    assert "Traceback" not in process.told


def cook_by_hand(process: Process) -> None:
    """The dinner goes on, whatever can be heard or said."""
    process.type("noodles are on")
    process.wait_for("Noodles on.")
    process.wait_for("Up: the noodles.")


def test_a_device_that_is_taken_in_mid_dinner_is_named_and_found_again_when_it_is_free(
    card: Card, room: Room, quick: str
) -> None:
    with dinner(quick) as process:
        card.take()
        cook_by_hand(process)
        assert process.has_come("I cannot speak.", within_s=40), process.told
        assert any(f"loudspeaker: {HELD}" in line for line in process.errors), process.told
        card.let_go()
        assert "the noodles" in process.wait_for("I can speak again.")
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")


def test_a_device_that_is_held_at_the_start_is_used_once_it_is_free(
    card: Card, room: Room, quick: str
) -> None:
    card.take()
    with dinner(quick) as process:
        assert any("type what you would say" in line for line in process.errors), process.told
        cook_by_hand(process)
        card.let_go()
        process.wait_for("I can speak again.")
        assert process.has_come("I can hear you again.", within_s=60), process.told
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")


def test_a_soundcheck_of_a_held_device_is_one_line_and_exit_3(card: Card) -> None:
    card.take()
    answer = done("soundcheck")
    assert answer.returncode == 3
    (line,) = answer.stderr.splitlines()
    assert "the program that holds it" in line


def test_a_device_that_gives_and_takes_nothing_for_a_while_is_no_hang(room: Room, quick: str) -> None:
    with dinner(quick) as process:
        suspend(room, is_suspended=True)
        cook_by_hand(process)
        assert process.has_come("I cannot speak.", within_s=40), process.told
        assert not any("it hangs" in line for line in process.errors), process.told
        suspend(room, is_suspended=False)
        process.wait_for("I can speak again.")
        say_until_answered(room, process, "hey kitchen, noodles are done", "Noodles boiled.")


def suspend(room: Room, *, is_suspended: bool) -> None:
    subprocess.run(
        ["pactl", "suspend-sink", "room", str(int(is_suspended))],
        env=os.environ | dict(room.environment),
        check=True,
    )
