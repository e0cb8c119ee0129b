"""The dinner's state every few events, on disk: a restart need not live through all of a long journal.

A cache and nothing more: the journal is the truth. A snapshot that is damaged, made by other code, or not of
this journal is as good as none. Never synced to the disk, since losing it costs a second or two.
"""

from __future__ import annotations

import hashlib
import pickle
import zlib
from contextlib import suppress
from functools import cache
from pathlib import Path

import kitchend
from kitchend.service.ports import Snapshot

SUM_BYTES = 4


class FileSnapshots:
    """Keeps the last snapshot in a small file beside the journal, and the one before it in another."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._before = path.with_name(path.name + ".before")
        self._fresh = path.with_name(path.name + ".new")

    def keep(self, snapshot: Snapshot) -> None:
        """Keep it in place of the one before; a disk that refuses is no reason to fail."""
        raw = fingerprint().encode() + b"\n" + pickle.dumps(snapshot, protocol=pickle.HIGHEST_PROTOCOL)
        with suppress(OSError):
            self._fresh.touch(mode=0o600)
            self._fresh.write_bytes(zlib.crc32(raw).to_bytes(SUM_BYTES, "big") + raw)
            if self._path.exists():
                self._path.replace(self._before)
            self._fresh.replace(self._path)

    def last(self) -> Snapshot | None:
        """The last one that this kitchend can use; None if there is none."""
        return _read(self._path) or _read(self._before)

    def forget(self) -> None:
        """Remove them: their journal was put away."""
        for path in (self._path, self._before, self._fresh):
            with suppress(OSError):
                path.unlink(missing_ok=True)


def _read(path: Path) -> Snapshot | None:
    try:
        raw = path.read_bytes()
    except OSError:
        return None
    if zlib.crc32(raw[SUM_BYTES:]).to_bytes(SUM_BYTES, "big") != raw[:SUM_BYTES] or not raw:
        return None
    return _unpacked(raw[SUM_BYTES:])


def _unpacked(raw: bytes) -> Snapshot | None:
    """The snapshot, if the code that made it is this code: only then its classes are the same."""
    made_by, _, rest = raw.partition(b"\n")
    if made_by != fingerprint().encode():
        return None
    snapshot = pickle.loads(rest)
    return snapshot if isinstance(snapshot, Snapshot) else None


@cache
def fingerprint() -> str:
    """What tells this kitchend's code from another's: the size and time of each file of the core."""
    core = Path(kitchend.__file__).parent / "core"
    files = [(path.name, path.stat().st_size, path.stat().st_mtime_ns) for path in sorted(core.glob("*.py"))]
    return hashlib.sha256(repr(files).encode()).hexdigest()
