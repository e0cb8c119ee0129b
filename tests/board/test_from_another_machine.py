"""The board over a wire: a phone in a network namespace of its own, and what it is let see and do.

What it may see before and after the four words, how wrong ones are met, whose name and origin count, and that
`kitchend board devices` lists it and sends it away.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.board.served import Served, served
from tests.board.test_door import spoken_words
from tests.service.kitchen import Kitchen

HERE, PHONE, NAME = "10.213.77.1", "10.213.77.2", f"kd{os.getpid() % 100_000}"
WIRE = (
    f"ip netns add {NAME}",
    f"ip link add {NAME}a type veth peer name {NAME}b netns {NAME}",
    f"ip addr add {HERE}/30 dev {NAME}a",
    f"ip link set {NAME}a up",
    f"ip -n {NAME} addr add {PHONE}/30 dev {NAME}b",
    f"ip -n {NAME} link set {NAME}b up",
)
ASKS = """
import json, sys
from tests.board.asking import ask
given = json.loads(sys.stdin.read())
body = given["body"]
sent = None if body is None else json.dumps(body).encode()
where = given["port"], given["method"], given["path"]
answer = ask(*where, sent, headers=given["headers"], address=given["address"])
print(json.dumps([answer.status, dict(answer.headers), answer.body.decode()]))
"""


@pytest.fixture(scope="module")
def wire() -> Iterator[None]:
    if os.geteuid() != 0 or shutil.which("ip") is None:
        pytest.skip("a network namespace needs root and ip (apt-get install iproute2)")
    try:
        for command in WIRE:
            done = subprocess.run(command.split(), capture_output=True, text=True, check=False)
            if done.returncode:
                pytest.skip(f"no network namespace to be had here: {done.stderr.strip()}")
        yield
    finally:
        for command in (f"ip link del {NAME}a", f"ip netns del {NAME}"):
            subprocess.run(command.split(), capture_output=True, check=False)


@pytest.fixture
def house(wire: None, kitchen: Kitchen, tmp_path: Path) -> Iterator[Served]:
    with served(kitchen, tmp_path, is_lan=True) as up:
        yield up


def phone(up: Served, method: str, path: str, body: object = None, **headers: str) -> tuple[int, Any, str]:
    """What the phone is answered: status, headers, body."""
    given = {
        "port": up.port,
        "method": method,
        "path": path,
        "body": body,
        "headers": headers,
        "address": HERE,
    }
    command = ["ip", "netns", "exec", NAME, sys.executable, "-c", ASKS]
    done = subprocess.run(
        command, input=json.dumps(given), capture_output=True, text=True, check=True, timeout=60
    )
    status, told, text = json.loads(done.stdout)
    return status, told, text


def enter(up: Served, words: str, name: str = "garden phone") -> tuple[int, Any, str]:
    return phone(up, "POST", "/door", {"words": words, "name": name})


def devices(up: Served, *more: str) -> str:
    """`kitchend board devices` as its own process, over the same folders."""
    home = up.folder.parent
    own = {f"XDG_{name}_HOME": str(home / f"xdg_{name.lower()}_home") for name in ("STATE", "CONFIG")}
    runtime = {"XDG_RUNTIME_DIR": str(home / "xdg_runtime_dir"), "HOME": str(home)}
    command = [sys.executable, "-m", "kitchend", "board", "devices", *more]
    done = subprocess.run(
        command, env={**os.environ, **own, **runtime}, capture_output=True, text=True, check=False, timeout=60
    )
    return done.stdout + done.stderr


def test_a_phone_gets_in_by_the_spoken_words_and_is_sent_away_again(house: Served) -> None:
    assert phone(house, "GET", "/")[1]["location"] == "/door"
    assert [phone(house, "GET", path)[0] for path in ("/view", "/events")] == [401, 401]
    assert phone(house, "POST", "/say", {"words": "undo"})[0] == 401

    status, headers, _ = enter(house, spoken_words(house))
    cookie = {"Cookie": headers["set-cookie"].partition(";")[0]}
    assert status == 200
    assert phone(house, "GET", "/view", **cookie)[0] == 200
    assert "garden phone" in devices(house)

    assert "garden phone" in devices(house, "--revoke", "garden phone")
    assert phone(house, "GET", "/view", **cookie)[0] == 401
    assert "garden phone" not in devices(house)


def test_a_phone_that_guesses_is_made_to_wait(house: Served) -> None:
    words = spoken_words(house)
    assert enter(house, "acorn acorn acorn acorn")[0] == 403
    status, headers, _ = enter(house, words)
    assert status == 429
    assert int(headers["retry-after"]) >= 1


def test_a_phone_must_ask_by_the_boards_own_name_and_from_its_own_page(house: Served) -> None:
    _, headers, _ = enter(house, spoken_words(house))
    cookie = headers["set-cookie"].partition(";")[0]
    assert phone(house, "GET", "/view", Cookie=cookie, Host=f"elsewhere.example:{house.port}")[0] == 421
    foreign = {"Cookie": cookie, "Origin": "http://elsewhere.example"}
    assert phone(house, "POST", "/say", {"words": "what's on"}, **foreign)[0] == 403


def test_a_board_that_is_not_opened_to_the_house_is_not_there_for_a_phone(
    wire: None, kitchen: Kitchen, tmp_path: Path
) -> None:
    with served(kitchen, tmp_path) as up, pytest.raises(subprocess.CalledProcessError) as refused:
        phone(up, "GET", "/")
    assert "ConnectionRefusedError" in refused.value.stderr
