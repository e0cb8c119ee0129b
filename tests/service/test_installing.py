"""Uninstalling keeps what belongs to the cook, and everything the scripts name is really there."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from kitchend.service.fetching import SMALL_ENGLISH

ROOT = Path(__file__).parents[2]
INSTALLED = [
    "opt/kitchend/venv/bin/kitchend",
    "etc/systemd/system/kitchend.service",
    "usr/local/bin/kitchend",
]
MODEL = "usr/share/vosk/vosk-model-small-en-us-0.15"
KEPT = [
    "etc/kitchend/settings.yaml",
    "etc/kitchend/plans/mine.yaml",
    "var/lib/kitchend/journal.sqlite3",
    f"{MODEL}/by-kitchend",
]
OF_OTHERS = ["usr/share/vosk/vosk-model-of-others/README"]


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """Another root with kitchend installed and used."""
    for name in [*INSTALLED, *KEPT, *OF_OTHERS]:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name)
    return tmp_path


def left(machine: Path) -> list[str]:
    return sorted(str(path.relative_to(machine)) for path in machine.rglob("*") if path.is_file())


@pytest.mark.parametrize(
    ("purge", "stays"), [("", sorted(KEPT + OF_OTHERS)), ("1", OF_OTHERS)], ids=["as it is", "with PURGE=1"]
)
def test_uninstalling_takes_away_the_service(machine: Path, purge: str, stays: list[str]) -> None:
    environment = os.environ | {"DESTDIR": str(machine), "PURGE": purge}
    done = subprocess.run(
        [ROOT / "systemd" / "uninstall"], env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert left(machine) == stays


@pytest.mark.parametrize("script", ["install", "uninstall"])
def test_the_script_is_good_shell(script: str) -> None:
    done = subprocess.run(
        ["bash", "-n", ROOT / "systemd" / script], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_the_unit_starts_what_is_installed() -> None:
    unit = (ROOT / "systemd" / "kitchend.service").read_text()
    script = (ROOT / "systemd" / "install").read_text()
    assert "ExecStart=/opt/kitchend/venv/bin/kitchend run\n" in unit
    assert "home=/opt/kitchend\n" in script
    assert "exec /opt/kitchend/venv/bin/kitchend" in script
    assert f'model="$root/{MODEL}"\n' in script
    assert MODEL.endswith(SMALL_ENGLISH.name)


def test_plans_can_be_added_to_the_folder_of_the_service_and_nothing_beside_it() -> None:
    unit = (ROOT / "systemd" / "kitchend.service").read_text()
    assert [line for line in unit.splitlines() if line.startswith("ReadWritePaths=")] == [
        "ReadWritePaths=-/etc/kitchend/plans"
    ]
    script = (ROOT / "systemd" / "install").read_text()
    assert 'install -d -m 2775 "$root/etc/kitchend/plans"\n' in script
    assert "chown kitchend:kitchend /var/lib/kitchend /etc/kitchend/plans;" in script


def wrapper(tmp_path: Path, user: str) -> Path:
    """The command that is put into the path, with a kitchend that tells its folders."""
    script = (ROOT / "systemd" / "install").read_text()
    text = script.split("<<'SH'\n")[1].split("SH\n")[0]
    for name, lines in {
        "kitchend": 'echo "$@: $XDG_CONFIG_HOME $XDG_STATE_HOME $XDG_RUNTIME_DIR $VOSK_MODEL_PATH"; exit 2',
        "id": f'[ "$1" != -u ] || echo {user}',
        "chown": 'echo "chown $@"',
        "chgrp": 'echo "chgrp $@"',
        "chmod": ":",
    }.items():
        (tmp_path / name).write_text(f"#!/bin/sh\n{lines}\n")
        (tmp_path / name).chmod(0o755)
    command = tmp_path / "wrapper"
    command.write_text(text.replace("/opt/kitchend/venv/bin/kitchend", str(tmp_path / "kitchend")))
    command.chmod(0o755)
    return command


OWNED = "chown -R kitchend:kitchend /var/lib/kitchend /etc/kitchend/plans"
READ = "chgrp kitchend /etc/kitchend/*.yaml"


@pytest.mark.parametrize(
    ("user", "words", "told"),
    [
        ("0", "backup b.tgz", ["backup b.tgz: /etc /var/lib  ", OWNED]),
        ("0", "restore b.tgz", ["restore b.tgz: /etc /var/lib  ", OWNED, READ]),
        ("0", "forget", ["forget: /etc /var/lib /run ", OWNED]),
        ("0", "soundcheck", ["soundcheck: /etc /var/lib  ", OWNED]),
        ("0", "model list", ["model list:    /usr/share/vosk"]),
        ("0", "status", ["status:   /run "]),
        ("0", "check a.yaml", ["check a.yaml:    "]),
        ("1000", "backup b.tgz", ["backup b.tgz:    "]),
        ("1000", "tell heard", ["tell heard:   /run "]),
    ],
)
def test_what_root_keeps_is_the_services_and_others_have_their_own(
    tmp_path: Path, user: str, words: str, told: list[str]
) -> None:
    command = wrapper(tmp_path, user)
    done = subprocess.run(
        [command, *words.split()],
        env={"PATH": f"{tmp_path}:{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout.splitlines()) == (2, told)
