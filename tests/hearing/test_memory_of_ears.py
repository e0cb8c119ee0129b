"""What the engines keep does not grow with what was heard and what might be said: the C library is asked."""

from __future__ import annotations

import ctypes
import subprocess
import sys
from platform import libc_ver

import numpy as np
import pytest

from kitchend.hearing.giving_back import keep_little
from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import WhisperEar
from tests.bench.hear.kitchen import sayable_of

GRAMMARS, PHRASES = 12, 12
GRAMMAR_MB, PHRASES_MB = 2.0, 1.5
"""Two grammars by turns took 17 MB, and a dozen phrases of as many lengths left 4 MB behind."""

FIELDS = "arena ordblks smblks hblks hblkhd usmblks fsmblks uordblks fordblks keepcost".split()


class Mallinfo(ctypes.Structure):
    """`struct mallinfo2` of glibc's malloc.h."""

    _fields_ = [(name, ctypes.c_size_t) for name in FIELDS]


def asked() -> Mallinfo:
    ask = ctypes.CDLL(None).mallinfo2
    ask.restype = Mallinfo
    found: Mallinfo = ask()
    return found


def grown_by_grammars() -> int:
    """Bytes that the heap is larger after grammars by turns than after the first; to be run alone."""
    ear, by_turns = PocketSphinxEar(), [sayable_of("harbour", True), sayable_of("harbour", False)]
    sizes: list[int] = []
    for number in range(GRAMMARS):
        ear.listen_for(by_turns[number % 2])
        sizes.append(int(asked().arena))
    return max(sizes) - sizes[0]


def grown_by_phrases() -> int:
    """Bytes in use that phrases of many lengths leave behind; to be run alone."""
    ear, sayable = WhisperEar(whisper_folder(), phones=PhoneEar()), sayable_of("harbour", False)
    noise = np.random.default_rng(1).normal(0.0, 0.05, 4 * SAMPLE_RATE).astype(np.float32)
    lengths = np.linspace(0.6, 2.4, PHRASES + 1) * SAMPLE_RATE
    sizes: list[int] = []
    for length in lengths:
        ear.judge(noise[: int(length)], sayable, ())
        sizes.append(int(asked().uordblks))
    return sizes[-1] - sizes[0]


def mapped_of_its_own() -> int:
    """Bytes of 12 MB of work space that are a mapping of their own, once larger ones came and went."""
    keep_little()
    c = ctypes.CDLL(None)
    c.malloc.restype, c.malloc.argtypes, c.free.argtypes = (
        ctypes.c_void_p,
        [ctypes.c_size_t],
        [ctypes.c_void_p],
    )
    c.free(c.malloc(24_000_000))
    before = int(asked().hblkhd)
    kept = c.malloc(12_000_000)
    mapped = int(asked().hblkhd) - before
    c.free(kept)
    return mapped


def in_mb(what: str) -> float:
    if libc_ver()[0] != "glibc":
        pytest.skip("NO GLIBC: its malloc is asked")
    code = f"from {__name__} import {what}; print({what}())"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return int(done.stdout) / 1e6


def test_a_grammar_takes_the_place_of_the_one_before() -> None:
    assert in_mb("grown_by_grammars") < GRAMMAR_MB


def test_phrases_leave_nothing_behind() -> None:
    assert in_mb("grown_by_phrases") < PHRASES_MB


def test_large_work_space_goes_back_whole() -> None:
    """By itself the C library would have put it into the heap, where it leaves holes."""
    assert in_mb("mapped_of_its_own") >= 12
