"""Keeps two kitchends from one journal: by a lock on a file beside it, lifted if the process dies."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kitchend.errors import DeviceError


@contextmanager
def only_one(journal: Path) -> Iterator[None]:
    """Hold the lock while inside; DeviceError if another process does, or the folder cannot be written."""
    path = journal.with_suffix(".lock")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as error:
        raise DeviceError("journal", f"cannot make {path}: {error.strerror}", "set XDG_STATE_HOME") from None
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            hint = "talk to it with `kitchend tell`, or end it first"
            raise DeviceError("service", "another kitchend is already running", hint) from None
        yield
    finally:
        os.close(handle)
