"""Runs the board inside kitchend's own process: a thread, a socket, and an end in time.

Whatever goes wrong here costs the board, never the dinner: a port that is taken is one line.
"""

from __future__ import annotations

import asyncio
import errno
import logging
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from kitchend.board.app import Pages, Parts
from kitchend.board.devices import Code, Devices
from kitchend.board.door import Door, Who
from kitchend.board.plans_desk import PlansDesk
from kitchend.board.watch import Watcher
from kitchend.core.board_words import words_in
from kitchend.core.safety_rules import SafetyRules
from kitchend.errors import DeviceError
from kitchend.reports.cautions import USUAL
from kitchend.service.guard import attempt, log
from kitchend.service.house import House
from kitchend.service.places import Places
from kitchend.service.ports import Complain, Plans

PORT = 8420
MOST_CONNECTIONS = 160
"""Listeners, and others that come and go; further ones are told that it is full."""

SILENT_S = 10.0
"""How long a new connection may say nothing."""

ENDS_S = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """How the board is to be served. `folder` is where plans are, None for a dinner in the foreground."""

    is_lan: bool = False
    port: int = PORT
    folder: Path | None = None
    rules: SafetyRules = USUAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board that is served: where, and its pages."""

    address: str
    port: int
    pages: Pages


class _Impatient(H11Protocol):
    """A connection that has to ask for something soon."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as asyncio calls it
        super().connection_made(transport)
        self.loop.call_later(SILENT_S, self._look)

    def _look(self) -> None:
        if getattr(self, "cycle", None) is None:
            self.transport.close()


@contextmanager
def board(house: House, plans: Plans, places: Places, wanted: Wanted, complain: Complain) -> Iterator[Board]:
    """The board, until left. DeviceError if its port cannot be had."""
    listening = _socket(wanted)
    port = int(listening.getsockname()[1])
    devices = Devices(places.journal.parent)
    who = Who(is_lan=wanted.is_lan, port=port, devices=devices)
    code = Code(house.clock.now, house.language)
    watcher = Watcher(hears=house.hears, speaks=house.speaks, overheard=house.overheard)
    parts = Parts(
        runner=house.runner,
        clock=house.clock,
        watcher=watcher,
        plans=PlansDesk(plans, house.planner, wanted.folder, words_in(house.language), wanted.rules),
        journal=places.journal,
        who=who,
        devices=devices,
        code=code,
        complain=complain,
        language=house.language,
    )
    pages = Pages(parts)
    end_watch = house.runner.watch(watcher.see)
    watcher.open()
    if wanted.is_lan:
        house.runner.let_in_by(code.make)
    try:
        with listening, _served(Door(pages.app(), who), pages, listening, complain):
            yield Board(address=_shown(wanted, port), port=port, pages=pages)
    finally:
        end_watch()
        watcher.close()
        house.runner.let_in_by(None)


@contextmanager
def _served(app: Door, pages: Pages, listening: socket.socket, complain: Complain) -> Iterator[None]:
    _log_quietly()
    config = uvicorn.Config(
        app,
        loop="asyncio",
        http=_Impatient,
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS,
        backlog=256,
        timeout_keep_alive=5,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=16_384,
    )
    server = uvicorn.Server(config)

    async def serve() -> None:
        pages.feed.open(asyncio.get_running_loop())
        await server.serve(sockets=[listening])

    def job() -> None:
        attempt(lambda: asyncio.run(serve()), complain=complain, doing="serve the board")

    thread = Thread(target=job, name="board", daemon=True)
    thread.start()
    try:
        yield
    finally:
        server.should_exit = True
        pages.feed.close_soon()
        thread.join(ENDS_S)


def _socket(wanted: Wanted) -> socket.socket:
    """The listening socket: of this machine alone, or of the house, over both kinds of address."""
    try:
        if not wanted.is_lan:
            return socket.create_server(("127.0.0.1", wanted.port), backlog=256)
        if socket.has_dualstack_ipv6():
            return socket.create_server(
                ("::", wanted.port), family=socket.AF_INET6, dualstack_ipv6=True, backlog=256
            )
        return socket.create_server(("0.0.0.0", wanted.port), backlog=256)
    except (OSError, OverflowError) as error:
        taken = isinstance(error, OSError) and error.errno == errno.EADDRINUSE
        why = "another program has it" if taken else getattr(error, "strerror", None) or str(error)
        hint = "name another with board_port in the settings"
        raise DeviceError("board", f"port {wanted.port} cannot be used: {why}", hint) from None


def _shown(wanted: Wanted, port: int) -> str:
    host = socket.gethostname() if wanted.is_lan else "localhost"
    return f"http://{host}:{port}"


def _log_quietly() -> None:
    """What the server has to say goes where kitchend's own log goes, and never to the screen."""
    for name in ("uvicorn", "uvicorn.error", "asyncio"):
        logger = logging.getLogger(name)
        logger.handlers[:] = log.handlers or [logging.NullHandler()]
        logger.propagate = False
        logger.setLevel(logging.WARNING)
