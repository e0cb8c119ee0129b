"""Small disks for tests: a tmpfs of so many bytes, full or not, writable or not. Needs root, else skips."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


class Disk:
    """A small disk of its own, mounted at `path`."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._filler = path / "filler"

    def fill(self) -> None:
        """Leave no byte free."""
        with self._filler.open("ab", buffering=0) as file:
            for size in (4096, 1):
                try:
                    while True:
                        file.write(b"x" * size)
                except OSError:
                    pass

    def make_room(self) -> None:
        """Take the filling away again."""
        self._filler.unlink()

    def let_write(self, is_allowed: bool) -> None:
        """Mount it anew, writable or not."""
        run("mount", "-o", f"remount,{'rw' if is_allowed else 'ro'}", str(self.path))


@contextmanager
def small_disk(path: Path, *, size: str = "400k") -> Iterator[Disk]:
    """A disk of that size while inside; skips where nothing can be mounted."""
    path.mkdir(parents=True, exist_ok=True)
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size},mode=700", "kitchend-test", str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    if mounted.returncode != 0:
        pytest.skip(f"NO SMALL DISK: mounting a tmpfs needs root: {mounted.stderr.strip()}")
    try:
        yield Disk(path)
    finally:
        run("umount", "--lazy", str(path))


def run(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True)
