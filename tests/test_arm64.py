"""The check that everything locked comes for arm64 boards, tried with a made-up package.

The script is the real one and so is pip; there is no index, only a folder with wheels of a few hundred bytes.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1]
METADATA = "Metadata-Version: 2.1\nName: ladle\nVersion: 1.0\n"


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """Somewhere with the script and an environment to run it in."""
    (tmp_path / ".ci").mkdir()
    shutil.copy(HOUSE / ".ci" / "arm64", tmp_path / ".ci" / "arm64")
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    python = tmp_path / ".venv" / "bin" / "python"
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    python.chmod(0o755)
    (tmp_path / "wheels").mkdir()
    return tmp_path


def wheel(checkout: Path, tags: str) -> str:
    """Put a wheel for these machines in the folder; its line of a lock."""
    path = checkout / "wheels" / f"ladle-1.0-{tags}.whl"
    with zipfile.ZipFile(path, "w") as made:
        made.writestr("ladle-1.0.dist-info/METADATA", METADATA)
        made.writestr("ladle-1.0.dist-info/WHEEL", f"Wheel-Version: 1.0\nTag: {tags}\n")
        made.writestr("ladle-1.0.dist-info/RECORD", "")
    return f"    --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}"


def check(checkout: Path, *hashes: str, marker: str = "") -> subprocess.CompletedProcess[str]:
    (checkout / "lock.txt").write_text(" \\\n".join([f"ladle==1.0{marker}", *hashes]) + "\n")
    return subprocess.run(
        [checkout / ".ci" / "arm64", "lock.txt"],
        env=os.environ
        | {"PIP_NO_INDEX": "1", "PIP_CONFIG_FILE": os.devnull, "PIP_FIND_LINKS": str(checkout / "wheels")},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    "tags", ["py3-none-any", "py3-none-manylinux_2_28_aarch64"], ids=["any machine", "boards"]
)
def test_what_comes_for_boards_is_well(checkout: Path, tags: str) -> None:
    done = check(checkout, wheel(checkout, tags))
    assert done.returncode == 0, done.stderr
    assert [line.split(", ")[0] for line in done.stdout.splitlines()] == [
        "arm64: all 1 of lock.txt come for Python 3.11",
        "arm64: all 1 of lock.txt come for Python 3.13",
    ]


@pytest.mark.parametrize(
    "tags",
    [
        "py3-none-manylinux_2_28_x86_64",
        "cp311-cp311-manylinux_2_28_aarch64",
        "py3-none-manylinux_2_39_aarch64",
    ],
    ids=["another machine", "one Python only", "a newer system"],
)
def test_what_does_not_come_for_every_board_fails_by_name(checkout: Path, tags: str) -> None:
    done = check(checkout, wheel(checkout, tags))
    assert done.returncode == 1
    assert "ladle" in done.stderr
    assert "NOT EVERYTHING in lock.txt comes for Python 3.1" in done.stderr


def test_a_wheel_that_is_not_the_one_locked_fails(checkout: Path) -> None:
    wheel(checkout, "py3-none-any")
    done = check(checkout, f"    --hash=sha256:{'0' * 64}")
    assert done.returncode == 1
    assert "NOT EVERYTHING" in done.stderr


def test_what_boards_do_not_need_is_not_looked_for(checkout: Path) -> None:
    done = check(checkout, f"    --hash=sha256:{'0' * 64}", marker=" ; platform_machine == 'x86_64'")
    assert done.returncode == 0, done.stderr
    assert "all 0 of lock.txt" in done.stdout
