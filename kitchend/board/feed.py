"""Server-sent events: the newest view to every listener, at once after news and every few seconds anyway.

A view is made once for all. Whoever reads slowly misses views, never the newest; whoever stops reading is let
go. At most 50 listen. https://html.spec.whatwg.org/multipage/server-sent-events.html
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress

from starlette.types import Receive, Send

MOST_LISTENERS = 50
BEAT_S = 4.0
"""A page that has heard nothing for three of these says so."""

SOON_S = 0.02
"""Events that follow each other so fast make one view."""

STALLED_S = 20.0

HEADERS = [
    (b"content-type", b"text/event-stream; charset=utf-8"),
    (b"cache-control", b"no-store"),
    (b"x-accel-buffering", b"no"),
]


class Feed:
    """Listeners and what they are told. Everything but `news` happens in the board's own loop."""

    def __init__(self, make: Callable[[], bytes]) -> None:
        self._make = make
        self._loop: asyncio.AbstractEventLoop | None = None
        self._wakes: set[asyncio.Event] = set()
        self._newest = b""
        self._soon: asyncio.TimerHandle | None = None
        self._beat: asyncio.TimerHandle | None = None
        self._is_over = False

    @property
    def count(self) -> int:
        """How many listen."""
        return len(self._wakes)

    @property
    def is_full(self) -> bool:
        """Whether nobody more may listen."""
        return len(self._wakes) >= MOST_LISTENERS

    def open(self, loop: asyncio.AbstractEventLoop) -> None:
        """Begin, in this loop."""
        self._loop = loop

    def news(self) -> None:
        """Something has changed; from any thread, and never waits."""
        if self._loop is not None:
            with suppress(RuntimeError):  # the loop is closed: kitchend is stopping
                self._loop.call_soon_threadsafe(self._come_soon)

    def close_soon(self) -> None:
        """Let every listener go; from any thread."""
        if self._loop is not None:
            with suppress(RuntimeError):
                self._loop.call_soon_threadsafe(self._close)

    def _close(self) -> None:
        self._is_over = True
        for handle in (self._soon, self._beat):
            if handle is not None:
                handle.cancel()
        self._wake_all()

    def _come_soon(self) -> None:
        if self._soon is None and self._wakes and self._loop is not None and not self._is_over:
            self._soon = self._loop.call_later(SOON_S, self._publish)

    def _publish(self) -> None:
        self._soon = None
        if self._beat is not None:
            self._beat.cancel()
            self._beat = None
        if not self._wakes or self._loop is None or self._is_over:
            return
        self._beat = self._loop.call_later(BEAT_S, self._publish)
        self._newest = _as_event(self._make())
        self._wake_all()

    def _wake_all(self) -> None:
        for wake in self._wakes:
            wake.set()

    async def listen(
        self, receive: Receive, send: Send, headers: list[tuple[bytes, bytes]], may_stay: Callable[[], bool]
    ) -> None:
        """Tell one listener everything until it goes, or may not stay any more."""
        wake, gone = asyncio.Event(), asyncio.Event()
        self._wakes.add(wake)
        watching = asyncio.create_task(_until_gone(receive, gone, wake))
        try:
            await send({"type": "http.response.start", "status": 200, "headers": [*HEADERS, *headers]})
            await _send(send, _as_event(self._make()))
            self._come_soon()
            while await _woken(wake) and not (gone.is_set() or self._is_over):
                if not may_stay():
                    await _send(send, b"event: gone\ndata: {}\n\n")
                    break
                await _send(send, self._newest)
            await send({"type": "http.response.body", "body": b"", "more_body": False})
        except (TimeoutError, OSError):
            return
        finally:
            self._wakes.discard(wake)
            watching.cancel()


async def _woken(wake: asyncio.Event) -> bool:
    await wake.wait()
    wake.clear()
    return True


async def _until_gone(receive: Receive, gone: asyncio.Event, wake: asyncio.Event) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass
    gone.set()
    wake.set()


async def _send(send: Send, body: bytes) -> None:
    async with asyncio.timeout(STALLED_S):
        await send({"type": "http.response.body", "body": body, "more_body": True})


def _as_event(data: bytes) -> bytes:
    """JSON has no line breaks of its own, so that one line holds it."""
    return b"event: view\ndata: " + data + b"\n\n"
