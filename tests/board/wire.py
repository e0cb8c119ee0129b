"""A wire between a browser and a board that a test can cut, or let hang as Wi-Fi does, and mend.

It lies at the other loopback address of the same port, [::1], a name that the board goes by too.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import pytest


class Wire:
    """Passes bytes on between whoever connects and the board, while it is whole."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._passes = threading.Event()
        self._ends: list[socket.socket] = []
        self._listening: socket.socket | None = None
        self.mend()

    @property
    def address(self) -> str:
        return f"http://[::1]:{self._port}"

    def hang(self) -> None:
        """Nothing comes through any more, and nobody is told."""
        self._passes.clear()

    def cut(self) -> None:
        """Everything that was connected is not, and nothing can be."""
        self._passes.clear()
        if self._listening is not None:
            # Closing alone does not wake a thread that waits for somebody to come.
            with suppress(OSError):
                self._listening.shutdown(socket.SHUT_RDWR)
            self._listening.close()
            self._listening = None
        ends, self._ends = self._ends, []
        for end in ends:
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()

    def mend(self) -> None:
        """As if new: what hung is gone, and the board can be reached again."""
        self.cut()
        self._passes.set()
        self._listening = socket.create_server(("::1", self._port), family=socket.AF_INET6)
        threading.Thread(target=self._take, args=(self._listening,), daemon=True).start()

    def _take(self, listening: socket.socket) -> None:
        with suppress(OSError):
            while True:
                near, _ = listening.accept()
                if not self._passes.is_set():
                    self._ends.append(near)
                    continue
                far = socket.create_connection(("127.0.0.1", self._port))
                self._ends += [near, far]
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._pass_on, args=(one, other), daemon=True).start()

    def _pass_on(self, one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):
            while part := one.recv(65_536):
                if not self._passes.is_set():
                    return
                other.sendall(part)
            other.shutdown(socket.SHUT_WR)


@contextmanager
def wired(port: int) -> Iterator[Wire]:
    """A wire to the board at this port; skips where there is no second loopback address."""
    try:
        wire = Wire(port)
    except OSError as error:
        pytest.skip(f"no IPv6 loopback here for the wire: {error}")
    try:
        yield wire
    finally:
        wire.cut()
