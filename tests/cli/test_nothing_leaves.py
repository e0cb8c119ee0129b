"""Nothing leaves: a dinner where there is no network at all, and every socket open while it is on."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from threading import Event

import pytest

from tests.cli.process import Process, done, hours_on, kitchend
from tests.cli.test_cook import QUICK
from tests.service.mosquitto import HOST, broker, free_port

UNSHARE = ["unshare", "--net", "--map-root-user", "--"]


def without_network() -> list[str]:
    """What is put before a command so that it has no network; skips where that is not allowed."""
    if shutil.which("unshare") is None:
        pytest.skip("unshare is not there: apt-get install util-linux")
    tried = None
    for prefix in (UNSHARE, ["unshare", "--net", "--"]):
        tried = subprocess.run([*prefix, "true"], capture_output=True, text=True, timeout=30, check=False)
        if tried.returncode == 0:
            return prefix
    pytest.skip(f"a process cannot be cut off from the network here: {tried and tried.stderr.strip()}")


def descendants(pid: int) -> list[int]:
    children = Path(f"/proc/{pid}/task").glob("*/children")
    direct = [int(child) for file in children for child in file.read_text().split()]
    return [pid, *(each for child in direct for each in descendants(child))]


def sockets_of(pid: int) -> set[str]:
    """The inodes of every socket this process has open."""
    found = set()
    for handle in Path(f"/proc/{pid}/fd").iterdir():
        try:
            target = str(handle.readlink())
        except FileNotFoundError:
            continue
        if target.startswith("socket:["):
            found.add(target[8:-1])
    return found


def families(pid: int) -> dict[str, str]:
    """Which table of the kernel each socket inode is in, see proc(5)."""
    tables = {
        "tcp": 9,
        "tcp6": 9,
        "udp": 9,
        "udp6": 9,
        "raw": 9,
        "raw6": 9,
        "unix": 6,
        "packet": 8,
        "netlink": 9,
    }
    found = {}
    for table, column in tables.items():
        for line in Path(f"/proc/{pid}/net/{table}").read_text().splitlines()[1:]:
            found[line.split()[column]] = table
    return found


def open_families(process: Process) -> set[str]:
    everyone = descendants(process.child.pid)
    return {families(pid).get(inode, "unknown") for pid in everyone for inode in sockets_of(pid)}


def test_a_dinner_needs_no_network_and_opens_no_socket_but_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    prefix = without_network()
    plan = tmp_path / "quick.yaml"
    plan.write_text(QUICK)
    monkeypatch.setattr("tests.cli.process.KITCHEND", [*prefix, sys.executable, "-m", "kitchend"])
    with kitchend("cook", str(plan), "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        before = open_families(process)
        process.type("noodles are on")
        process.wait_for("Up: the noodles.")
        process.type("noodles are done")
        process.wait_for("Noodles boiled.")
        assert {"unix"} == before | open_families(process)


def near_ends(pid: int) -> set[str]:
    """Where this process and its children are reached by TCP: addresses in hex, as the kernel has them."""
    ours = {inode for each in descendants(pid) for inode in sockets_of(each)}
    ends = set()
    for table in ("tcp", "tcp6"):
        lines = [line.split() for line in Path(f"/proc/{pid}/net/{table}").read_text().splitlines()[1:]]
        ends |= {near.partition(":")[0] for _, near, _, *more in lines if more[6] in ours}
    return ends


def test_the_service_with_its_board_is_reached_from_this_machine_alone(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if shutil.which("ip") is None:
        pytest.skip("ip is not there: apt-get install iproute2")
    prefix = [*without_network(), "sh", "-c", 'ip link set lo up && exec "$@"', "sh"]
    plans = own_folders / "config" / "kitchend" / "plans"
    plans.mkdir(parents=True)
    (plans / "quick.yaml").write_text(QUICK)
    monkeypatch.setattr("tests.cli.process.KITCHEND", [*prefix, sys.executable, "-m", "kitchend"])
    with kitchend("run") as process:
        process.wait_for("board: http://localhost:")
        assert done("tell", "cook the quick supper").returncode == 0
        process.wait_for("The pass is at")
        assert open_families(process) == {"unix", "tcp"}
        # 127.0.0.1 and ::1.
        assert near_ends(process.child.pid) <= {"0100007F", "00000000000000000000000001000000"}
        assert "0100007F" in near_ends(process.child.pid)


def far_ends(pid: int) -> set[str]:
    """Whom this process and its children talk to by TCP: address and port in hex, as the kernel has them.

    Left out is a pair of sockets that talk to each other: the client of a broker wakes itself by one.
    """
    ours = {inode for each in descendants(pid) for inode in sockets_of(each)}
    lines = [line.split() for line in Path(f"/proc/{pid}/net/tcp").read_text().splitlines()[1:]]
    ends = [(near, far) for _, near, far, *more in lines if more[6] in ours]
    return {far for _, far in ends} - {near for near, _ in ends}


def test_with_a_broker_in_the_settings_there_is_one_socket_more_and_it_goes_there(
    tmp_path: Path, own_folders: Path
) -> None:
    plan, port = tmp_path / "quick.yaml", free_port()
    plan.write_text(QUICK)
    settings = own_folders / "config" / "kitchend" / "settings.yaml"
    settings.parent.mkdir(parents=True)
    settings.write_text(f"mqtt: {{host: {HOST}, port: {port}, topics: {{kitchen/probe: noodles}}}}\n")
    with broker(tmp_path, port), kitchend("cook", str(plan), "--serve", hours_on()) as process:
        process.wait_for("The pass is at")
        for _ in range(200):
            if far_ends(process.child.pid):
                break
            Event().wait(0.05)
        assert open_families(process) == {"unix", "tcp"}
        assert far_ends(process.child.pid) == {f"0100007F:{port:04X}"}


def test_a_socket_to_the_outside_would_be_found_out() -> None:
    code = (
        "import socket, sys; s = socket.socket(); s.bind(('127.0.0.1', 0)); s.listen();"
        "print(flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout is not None
        other.stdout.readline()
        found = {families(other.pid).get(inode) for inode in sockets_of(other.pid)}
        other.kill()
    assert "tcp" in found
