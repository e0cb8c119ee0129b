"""Keeps sound libraries from writing to the terminal: they complain past Python, to the error output itself.

What kitchend itself has to say still comes there. Called once, before a sound library is loaded.
"""

from __future__ import annotations

import io
import os
import sys

ERRORS = 2


def quiet_libraries() -> None:
    """From now on what libraries write to the error output is lost, and what Python writes is not."""
    try:
        own = os.dup(ERRORS)
    except OSError:
        return
    os.set_inheritable(own, False)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, ERRORS)
    os.close(nowhere)
    sys.stderr = io.TextIOWrapper(
        os.fdopen(own, "wb", 0), encoding="utf-8", errors="replace", write_through=True
    )
