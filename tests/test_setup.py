"""The set-up script on machines that lack something, with the machine's own tools replaced by stand-ins.

The script is the real one, in a folder of its own; `dpkg-query`, `apt-get` and `id` are shell scripts that
say what such a machine would say and write down what they were asked. Every failure has to end in one line.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1]
NEEDED_TO_RUN = "libportaudio2 libasound2-plugins libespeak-ng1 espeak-ng flite"


@dataclass(frozen=True, kw_only=True)
class Machine:
    """A checkout and the folder of commands that comes before the system's."""

    checkout: Path
    commands: Path

    def has(self, command: str, script: str) -> None:
        path = self.commands / command
        path.write_text(
            f'#!/bin/sh\necho "{command} $*" >>"{self.commands}/asked"\n{script}\n', encoding="utf-8"
        )
        path.chmod(0o755)

    def set_up(self, kind: str = "run", *, python: str = sys.executable) -> subprocess.CompletedProcess[str]:
        environment = os.environ | {
            "PATH": f"{self.commands}:/usr/bin:/bin",
            "PYTHON": python,
            "PIP_NO_INDEX": "1",  # what a machine without a network comes to, at once
        }
        return subprocess.run(
            [self.checkout / ".ci" / "setup", kind],
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )

    @property
    def asked(self) -> str:
        notes = self.commands / "asked"
        return notes.read_text(encoding="utf-8") if notes.exists() else ""


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    """A Debian machine with everything installed and a user who is root."""
    checkout, commands = tmp_path / "kitchend", tmp_path / "commands"
    (checkout / ".ci" / "locked").mkdir(parents=True)
    commands.mkdir()
    for name in ("setup", "system-packages"):
        shutil.copy(HOUSE / ".ci" / name, checkout / ".ci" / name)
    shutil.copy(HOUSE / "pyproject.toml", checkout)
    lock = f"no-such-kitchen-package==1.0 \\\n    --hash=sha256:{'0' * 64}\n"
    for kind in ("run", "test"):
        (checkout / ".ci" / "locked" / f"{kind}.txt").write_text(lock, encoding="utf-8")
    made = Machine(checkout=checkout, commands=commands)
    made.has("dpkg-query", "echo installed")
    made.has("apt-get", "echo 'E: apt-get was not to be called'; exit 100")
    made.has("id", "echo 0")
    return made


def test_another_python_is_refused_in_one_line(machine: Machine) -> None:
    machine.has("python3.9", 'case "$1" in -c) echo 3.9.2 ;; *) exit 1 ;; esac')
    answer = machine.set_up(python="python3.9")
    assert (answer.returncode, answer.stdout) == (3, "")
    assert answer.stderr == "setup: PYTHON=python3.9 is 3.9.2, but kitchend needs Python 3.11 to 3.14\n"


def test_an_unknown_kind_is_refused_in_one_line(machine: Machine) -> None:
    answer = machine.set_up("breakfast")
    assert (answer.returncode, answer.stdout) == (3, "")
    assert answer.stderr == "setup: say '.ci/setup run' or '.ci/setup test', not 'breakfast'\n"


def test_missing_packages_are_named_in_one_line_to_who_may_not_install(machine: Machine) -> None:
    machine.has("dpkg-query", "exit 1")
    machine.has("id", "echo 1000")
    machine.has("sudo", "exit 1")
    answer = machine.set_up()
    assert (answer.returncode, answer.stdout) == (3, "")
    assert answer.stderr == (
        f"setup: please install as root, then run this again: apt-get install {NEEDED_TO_RUN}\n"
    )
    assert "apt-get" not in machine.asked
    assert not (machine.checkout / ".venv").exists()


def test_who_has_sudo_installs_through_it(machine: Machine) -> None:
    machine.has("dpkg-query", "exit 1")
    machine.has("id", "echo 1000")
    machine.has("sudo", 'shift; [ "$1" = env ] && shift; [ "$1" = true ] || exec env "$@"')
    machine.set_up()
    assert "sudo -n env DEBIAN_FRONTEND=noninteractive apt-get" in machine.asked


def test_a_failing_apt_ends_in_one_line(machine: Machine) -> None:
    machine.has("dpkg-query", '[ "$4" != flite ] && echo installed')
    machine.has("apt-get", "case $* in *install*) echo 'E: Unable to locate package flite'; exit 100 ;; esac")
    answer = machine.set_up()
    assert answer.returncode == 3
    assert answer.stdout == "setup: installing flite (apt-get)\n"
    assert answer.stderr == (
        "setup: apt-get could not install flite: E: Unable to locate package flite (see build/setup.log)\n"
    )


def test_only_what_is_missing_is_asked_of_apt(machine: Machine) -> None:
    machine.has("dpkg-query", '[ "$4" != flite ] && echo installed')
    machine.has("apt-get", "exit 100")
    machine.set_up()
    installs = [
        line for line in machine.asked.splitlines() if line.startswith("apt-get") and " install " in line
    ]
    assert [line.split("--no-remove ")[1] for line in installs] == ["flite"]


@pytest.mark.slow
def test_without_a_network_it_ends_in_one_line_and_starts_afresh_next_time(machine: Machine) -> None:
    first = machine.set_up()
    second = machine.set_up()
    for answer in (first, second):
        assert answer.returncode == 3
        assert answer.stdout.startswith("setup: making .venv with Python ")
        assert answer.stderr.startswith("setup: pip could not install the locked versions: ERROR: ")
        assert answer.stderr.count("\n") == 1
    assert "apt-get" not in machine.asked
