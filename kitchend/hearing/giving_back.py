"""Memory: what engines freed goes back to the system, what is loaded is not looked through again."""

from __future__ import annotations

import ctypes
import gc

_MMAP_THRESHOLD = -3  # M_MMAP_THRESHOLD of glibc's mallopt(3)
_LARGE = 8 << 20
_SELDOM = (10_000, 20, 50)


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


def look_seldom() -> None:
    """Have Python's garbage collector leave alone what is there now, and look through the rest less often.

    A dinner's grammar is 100,000 objects made in one go, none of them garbage: with all that is loaded
    looked through a dozen times meanwhile, it took a third longer.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(*_SELDOM)
