"""A real kitchend process: what is typed into it, what it prints, how it ends."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Condition, Thread
from typing import IO

PATIENCE_S = 30.0
HOURS_ON = 3
KITCHEND = [sys.executable, "-m", "kitchend"]


def hours_on() -> str:
    """A pass some hours from now, in the words of the command line, whatever the clock says."""
    return time.strftime("%H:%M", time.localtime(time.time() + HOURS_ON * 3600))


class Process:
    """A kitchend that runs, with its standard output and error as they grow."""

    def __init__(self, *arguments: str) -> None:
        self._changed = Condition()
        self.lines: list[str] = []
        self.errors: list[str] = []
        self.child = subprocess.Popen(
            [*KITCHEND, *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONUNBUFFERED": "1"},
        )
        assert self.child.stdout is not None
        assert self.child.stderr is not None
        self._readers = [
            Thread(target=self._read, args=(self.child.stdout, self.lines)),
            Thread(target=self._read, args=(self.child.stderr, self.errors)),
        ]
        for reader in self._readers:
            reader.start()

    def type(self, words: str) -> None:
        assert self.child.stdin is not None
        self.child.stdin.write(words + "\n")
        self.child.stdin.flush()

    def close_stdin(self) -> None:
        assert self.child.stdin is not None
        self.child.stdin.close()

    def wait_for(self, words: str) -> str:
        """The first printed line with these words; fails with all that was printed if none comes."""

        def found() -> str | None:
            return next((line for line in self.lines if words in line), None)

        with self._changed:
            self._changed.wait_for(lambda: found() is not None or self.child.poll() is not None, PATIENCE_S)
        line = found()
        assert line is not None, f"{words!r} did not come:\n{self.told}"
        return line

    def has_come(self, words: str, within_s: float) -> bool:
        """Whether a line with these words is printed within so many seconds."""
        with self._changed:
            return self._changed.wait_for(lambda: any(words in line for line in self.lines), within_s)

    def end(self, number: int = signal.SIGTERM) -> int:
        """Send a signal and give the exit code."""
        if self.child.poll() is None:
            self.child.send_signal(number)
        return self.exit_code()

    def exit_code(self) -> int:
        code = self.child.wait(PATIENCE_S)
        for reader in self._readers:
            reader.join(PATIENCE_S)
        return code

    @property
    def told(self) -> str:
        return "\n".join([*self.lines, *self.errors])

    def _read(self, stream: IO[str], lines: list[str]) -> None:
        for line in stream:
            with self._changed:
                lines.append(line.rstrip("\n"))
                self._changed.notify_all()
        stream.close()
        with self._changed:
            self._changed.notify_all()


@contextmanager
def kitchend(*arguments: str) -> Iterator[Process]:
    """A kitchend process while inside; killed on the way out if it still runs."""
    process = Process(*arguments)
    try:
        yield process
    finally:
        process.child.kill()
        process.exit_code()
        if process.child.stdin is not None and not process.child.stdin.closed:
            with suppress(BrokenPipeError):
                process.child.stdin.close()


def done(*arguments: str, typed: str = "", within_s: float = 60) -> subprocess.CompletedProcess[str]:
    """A kitchend command that ends by itself."""
    return subprocess.run(
        [*KITCHEND, *arguments], input=typed, capture_output=True, text=True, timeout=within_s, check=False
    )
