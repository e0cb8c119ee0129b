"""A real Mosquitto broker on a free port of this machine, its configuration its own; and a publisher."""

from __future__ import annotations

import getpass
import importlib
import shutil
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import Any, Self

import pytest

HOST = "127.0.0.1"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        port: int = probe.getsockname()[1]
        return port


def broker_command() -> str:
    """Where Mosquitto is; Debian puts it among the system's own commands."""
    found = shutil.which("mosquitto") or shutil.which("mosquitto", path="/usr/sbin:/sbin")
    if found is None:
        pytest.skip("mosquitto is not there: apt-get install mosquitto")
    return found


@contextmanager
def broker(folder: Path, port: int, *lines: str) -> Iterator[subprocess.Popen[bytes]]:
    """Serves while inside; further lines of its configuration say who may come in, and how."""
    config = folder / f"mosquitto-{port}.conf"
    # Started as root it would become another user, who may not read the folders of a test.
    own = [f"listener {port} {HOST}", f"user {getpass.getuser()}", "persistence false"]
    whole = [*own, *(lines or ("allow_anonymous true",)), ""]
    config.write_text("\n".join(whole))
    command = [broker_command(), "-c", str(config)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:
        try:
            _wait_for(process, port)
            yield process
        finally:
            process.terminate()
            process.wait(timeout=20)


def _wait_for(process: subprocess.Popen[bytes], port: int) -> None:
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex((HOST, port)) == 0:
                return
        if process.poll() is not None:
            break
        Event().wait(0.05)
    process.kill()
    told = process.communicate()[1].decode(errors="replace")
    raise AssertionError(f"mosquitto did not come up: {told}")


def a_client() -> Any:
    """A client of the library's, imported as late as kitchend imports it."""
    paho: Any = importlib.import_module("paho.mqtt.client")
    return paho.Client(paho.CallbackAPIVersion.VERSION2)


class Publisher:
    """Sends messages, each until the broker has it."""

    def __init__(self, port: int, *, user: str | None = None, password: str | None = None) -> None:
        self._client = a_client()
        if user is not None:
            self._client.username_pw_set(user, password)
        self._client.connect(HOST, port)
        self._client.loop_start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self._client.loop_stop()
        self._client.disconnect()

    def send(self, topic: str, payload: str | bytes, *, retain: bool = False) -> None:
        self._client.publish(topic, payload, qos=1, retain=retain).wait_for_publish(10)
