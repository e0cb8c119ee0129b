"""Keeps two kitchends from one journal: by a lock on a file beside it, lifted if the process dies.

On a disk that cannot be written the lock is taken on what is there; where nothing is, there is no journal to
keep apart, and the control socket still tells of another.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from kitchend.errors import DeviceError


class OtherKitchendError(DeviceError):
    """Another kitchend is running with this journal."""


@contextmanager
def only_one(journal: Path) -> Iterator[None]:
    """Hold the lock while inside; OtherKitchendError if another process does."""
    handle = _opened(journal.with_suffix(".lock"))
    if handle is None:
        yield
        return
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            hint = "talk to it with `kitchend tell`, or end it first"
            raise OtherKitchendError("service", "another kitchend is already running", hint) from None
        yield
    finally:
        os.close(handle)


def _opened(path: Path) -> int | None:
    """The lock's file, made if it can be; None if there is none and none can be made."""
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    for flags in (os.O_RDWR | os.O_CREAT, os.O_RDONLY):
        with suppress(OSError):
            return os.open(path, flags | os.O_CLOEXEC, 0o600)
    return None
