"""Lines out of a pipe, however they come: in pieces, without end, with any bytes, or not at all.

Reading never holds more than one line of bounded length and never blocks for long, so that whoever reads can
always be stopped.
"""

from __future__ import annotations

import os
import re
import select
from collections.abc import Callable, Iterator

MAX_LINE = 4096
"""Bytes of a line at most, as at the control socket."""

LOOK_S = 0.25
PIECE = 65_536

_ENDS = re.compile(rb"[\r\n]+")


class Lines:
    """Puts pieces together to lines; a line that is too long comes out as None, once."""

    def __init__(self, longest: int = MAX_LINE) -> None:
        self._longest = longest
        self._begun = b""
        self._is_skipping = False

    def feed(self, piece: bytes) -> Iterator[bytes | None]:
        """The lines that end in this piece; empty ones are none."""
        *ended, rest = _ENDS.split(piece)
        for part in ended:
            yield from self._grown(part)
            if self._begun:
                yield self._begun
            self._begun, self._is_skipping = b"", False
        yield from self._grown(rest)

    def end(self) -> Iterator[bytes | None]:
        """What is left when no more comes."""
        yield from self.feed(b"\n")

    def _grown(self, part: bytes) -> Iterator[None]:
        if self._is_skipping:
            return
        self._begun += part
        if len(self._begun) > self._longest:
            self._begun, self._is_skipping = b"", True
            yield None


def lines_of(handle: int, is_stopped: Callable[[], bool]) -> Iterator[bytes | None]:
    """The lines that come out of a file handle until its end, or until stopped; None for one too long."""
    lines = Lines()
    while not is_stopped():
        if not select.select([handle], [], [], LOOK_S)[0]:
            continue
        piece = os.read(handle, PIECE)
        if not piece:
            yield from lines.end()
            return
        yield from lines.feed(piece)
