"""A real service whose control socket is attacked: it goes on as if nothing had happened."""

from __future__ import annotations

import json
import socket
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from kitchend.service.control import MAX_CONNECTIONS
from tests.cli.process import done, kitchend

pytestmark = pytest.mark.slow

JUNK = [
    b"",
    b"\n",
    b"{\n",
    b"\xff\xfe\x00\n",
    b"null\n",
    b'{"tell": 3}\n',
    b'{"tell": ""}\n',
    b'{"forget": 1}\n',
    b'{"status": true, "tell": "drop the eggs"}\n',
    b"[" * 4000 + b"\n",
    b'{"reading": {"of": "eggs", "celsius": 1e999}}\n',
]
GROWS_KB = 20_000


def resident_kb(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text()
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS:"))


def connected(path: Path) -> socket.socket:
    channel = socket.socket(socket.AF_UNIX)
    channel.connect(str(path))
    channel.settimeout(30)
    return channel


def answer_to(path: Path, sent: bytes) -> str:
    """What comes back to these bytes from who then closes its half."""
    with connected(path) as channel:
        with suppress(BrokenPipeError, ConnectionResetError):
            channel.sendall(sent)
            channel.shutdown(socket.SHUT_WR)
        return channel.makefile("rb").read().decode()


def test_junk_floods_and_crowds_leave_the_service_and_its_timers_as_they_were(own_folders: Path) -> None:
    path = own_folders / "runtime" / "kitchend" / "control.sock"
    with kitchend("run") as service:
        service.wait_for("ready")
        assert done("tell", "time the eggs for twenty minutes").returncode == 0
        before, pid = list(service.lines), service.child.pid
        kb = resident_kb(pid)
        for sent in JUNK:
            lines = answer_to(path, sent).splitlines()
            assert len(lines) == (1 if sent else 0), (sent[:40], lines)
            assert all(set(json.loads(line)) == {"error"} for line in lines), (sent[:40], lines)
        assert json.loads(answer_to(path, b"x" * 100_000_000)) == {"error": "a request is at most 4096 bytes"}
        with ExitStack() as crowd:
            for number in range(1000):
                channel = crowd.enter_context(connected(path))
                if number % 3 == 0:
                    channel.sendall(b'{"tell": "drop')
            (timer,) = json.loads(done("status", "--json").stdout)["timers"]
            assert timer["name"] == "eggs"
            assert len(list(Path(f"/proc/{pid}/task").iterdir())) < 2 * MAX_CONNECTIONS
        assert resident_kb(pid) - kb < GROWS_KB
        assert service.lines == before
        assert "Traceback" not in service.told
        assert "bug" not in service.told
        assert service.end() == 0
