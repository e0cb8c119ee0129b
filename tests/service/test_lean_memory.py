"""What threads freed goes back to the system: a process that asked for it beside one that did not."""

from __future__ import annotations

import subprocess
import sys
from platform import libc_ver

import pytest

MANY_THREADS = """
import ctypes, sys, threading
from kitchend.service.lean_memory import lean_memory
if sys.argv[1] == "lean":
    assert lean_memory()
C = ctypes.CDLL(None)
C.malloc.restype, C.free.argtypes = ctypes.c_void_p, [ctypes.c_void_p]
PIECE, MANY, barrier = 50_000, 400, threading.Barrier(8)
def work():
    pieces = [C.malloc(PIECE) for _ in range(MANY)]
    for piece in pieces: ctypes.memset(piece, 1, PIECE)
    barrier.wait()
    # What was taken last stays, and holds what was freed below it.
    for piece in pieces[:-1]: C.free(piece)
    barrier.wait()
threads = [threading.Thread(target=work) for _ in range(8)]
for thread in threads: thread.start()
for thread in threads: thread.join()
with open("/proc/self/maps") as maps:
    starts = [int(line.split("-")[0], 16) for line in maps if "rw-p 00000000 00:00 0 \\n" in line]
print(sum(start % (64 << 20) == 0 for start in starts))
"""


def arenas(how: str) -> int:
    """How many of glibc's arenas, which begin at multiples of 64 MB, there are besides the heap."""
    done = subprocess.run(
        [sys.executable, "-c", MANY_THREADS, how], capture_output=True, text=True, check=True
    )
    return int(done.stdout)


def test_threads_share_what_they_take_memory_from() -> None:
    if libc_ver()[0] != "glibc":
        pytest.skip("NO GLIBC: its arenas are what this is about")
    assert arenas("lean") < arenas("as it comes")
