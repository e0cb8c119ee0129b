"""The control socket under attack: floods, crowds, halves, strangers. It answers on, in bounded memory."""

from __future__ import annotations

import grp
import json
import os
import shutil
import socket
import stat
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from kitchend.service import control
from kitchend.service.control import MAX_CONNECTIONS, ask, serving
from tests.service.test_control import ParrotDesk

STILL_THERE = {"said": ["You said still there."]}
NOBODY = 65_534


@pytest.fixture
def path(own_folders: Path) -> Iterator[Path]:
    socket_path = own_folders / "runtime" / "kitchend" / "control.sock"
    with serving(socket_path, ParrotDesk()):
        yield socket_path


def connected(path: Path) -> socket.socket:
    channel = socket.socket(socket.AF_UNIX)
    channel.connect(str(path))
    channel.settimeout(20)
    return channel


def resident_kb() -> int:
    status = Path("/proc/self/status").read_text()
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS:"))


def test_a_line_of_a_hundred_megabytes_gets_one_clear_line_and_takes_no_memory(path: Path) -> None:
    part = b"x" * 1_000_000
    before_kb = resident_kb()
    with connected(path) as channel:
        with suppress(BrokenPipeError):
            for _ in range(100):
                channel.sendall(part)
        answer = json.loads(channel.makefile("rb").readline())
    assert answer == {"error": "a request is at most 4096 bytes"}
    assert resident_kb() - before_kb < 10_000
    assert ask(path, {"tell": "still there"}) == STILL_THERE


def test_a_thousand_connections_do_not_keep_the_next_one_out(path: Path) -> None:
    threads = len(list(Path("/proc/self/task").iterdir()))
    with ExitStack() as stack:
        for _ in range(1000):
            stack.enter_context(connected(path))
        assert ask(path, {"tell": "still there"}) == STILL_THERE
        assert len(list(Path("/proc/self/task").iterdir())) - threads <= MAX_CONNECTIONS + 5
    assert ask(path, {"tell": "still there"}) == STILL_THERE


def test_a_peer_that_closes_its_half_still_gets_its_answer(path: Path) -> None:
    with connected(path) as channel:
        channel.sendall(b'{"tell": "one"}\n')
        channel.shutdown(socket.SHUT_WR)
        assert channel.makefile("rb").read() == b'{"said": ["You said one."]}\n'


def test_a_peer_that_sends_half_a_line_and_waits_hurts_nobody(path: Path) -> None:
    with connected(path) as channel:
        channel.sendall(b'{"tell": "ha')
        assert ask(path, {"tell": "still there"}) == STILL_THERE


def test_a_peer_that_never_reads_hurts_nobody(path: Path) -> None:
    with connected(path) as channel:
        channel.settimeout(0.5)
        with suppress(TimeoutError):
            while True:
                channel.sendall(b'{"status": true}\n' * 1000)
        assert ask(path, {"tell": "still there"}) == STILL_THERE


ASK = """
import json, socket, sys
channel = socket.socket(socket.AF_UNIX)
channel.settimeout(10)
try:
    channel.connect(sys.argv[1])
    try:
        channel.sendall(b'{"tell": "still there"}\\n')
    except BrokenPipeError:
        pass
    print(channel.makefile("r").readline().strip())
except PermissionError:
    print("no way in")
"""


def as_stranger(path: Path, *, groups: str = "--clear-groups") -> str:
    """What another user gets who asks; skips where nobody else can be."""
    if os.geteuid() != 0 or shutil.which("setpriv") is None:
        pytest.skip("NO OTHER USER: becoming another user needs root and setpriv (util-linux)")
    become = ["setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", groups]
    system_python = os.path.realpath(sys.executable)
    done = subprocess.run(
        [*become, system_python, "-I", "-c", ASK, str(path)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_another_user_finds_no_way_to_the_socket(path: Path) -> None:
    path.parent.parent.parent.chmod(0o755)
    path.parent.parent.chmod(0o755)
    assert as_stranger(path) == "no way in"
    path.parent.chmod(0o755)
    assert as_stranger(path) == "no way in"


def test_another_user_who_finds_a_way_is_refused_by_name(path: Path) -> None:
    for folder in (path.parent, path.parent.parent, path.parent.parent.parent):
        folder.chmod(0o755)
    path.chmod(0o666)
    assert json.loads(as_stranger(path)) == {
        "error": "only its owner and the group kitchend may talk to this kitchend"
    }


@pytest.fixture
def group(monkeypatch: pytest.MonkeyPatch) -> int:
    """The number of a group that stands for `kitchend`, so that the system's own groups are left alone."""
    number = grp.getgrnam("audio").gr_gid
    monkeypatch.setattr(control, "GROUP", "audio")
    return number


def test_one_of_the_group_may_talk(own_folders: Path, group: int) -> None:
    path = own_folders / "runtime" / "kitchend" / "control.sock"
    with serving(path, ParrotDesk()):
        for folder in (path.parent.parent, path.parent.parent.parent):
            folder.chmod(0o755)
        assert stat.S_IMODE(path.stat().st_mode) == 0o660
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o710
        assert path.stat().st_gid == group
        assert json.loads(as_stranger(path, groups=f"--groups={group}")) == STILL_THERE
        assert as_stranger(path) == "no way in"


def test_where_there_is_no_group_only_the_owner_may_talk(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(control, "GROUP", "no such group here")
    path = own_folders / "runtime" / "kitchend" / "control.sock"
    with serving(path, ParrotDesk()):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert ask(path, {"tell": "still there"}) == STILL_THERE
