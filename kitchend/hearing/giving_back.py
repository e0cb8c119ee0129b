"""Memory that engines freed goes back to the system. Decides nothing else."""

from __future__ import annotations

import ctypes

_MMAP_THRESHOLD = -3  # M_MMAP_THRESHOLD of glibc's mallopt(3)
_LARGE = 8 << 20


def keep_little() -> None:
    """Have large work space be a mapping of its own, which goes back whole.

    By itself glibc raises the size from which that is so as it goes, up to 32 MB: engines' work space then
    leaves holes that are never given back, 50 MB after eight phrases.
    """
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)  # glibc's own; other C libraries do without
    if mallopt is not None:
        mallopt(_MMAP_THRESHOLD, _LARGE)


def give_back() -> None:
    """Return what was freed, up to 90 MB of work space after a phrase or a grammar; takes some 2 to 10 ms."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:
        trim(0)
