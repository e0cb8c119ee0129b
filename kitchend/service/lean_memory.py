"""Has the C library keep less memory back than it does by itself, where it is glibc. Decides nothing else.

By itself glibc gives each thread an arena of its own and keeps in it what was freed, large pieces too: with
ears on some threads and a mouth on another, a long evening holds many megabytes of nothing. To be called
before the first thread begins.
"""

from __future__ import annotations

import ctypes

M_MMAP_THRESHOLD, M_ARENA_MAX = -3, -8
"""From glibc's malloc.h, see mallopt(3)."""

ARENAS = 2
LARGE_BYTES = 1_000_000
"""A piece this large goes back to the system as soon as it is freed."""


def lean_memory() -> bool:
    """From now on share arenas and give large pieces back; False where the C library knows no such wish."""
    try:
        wish = ctypes.CDLL(None).mallopt
    except (OSError, AttributeError):
        return False
    return all(
        wish(what, value) == 1 for what, value in ((M_ARENA_MAX, ARENAS), (M_MMAP_THRESHOLD, LARGE_BYTES))
    )
