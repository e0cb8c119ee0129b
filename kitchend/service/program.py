"""A program somebody else wrote, for what it prints: started, perhaps again, and never left behind.

It runs in a process group of its own, so that whatever it started ends with it. How it ended is a value;
only a program that cannot be started at all is an error.
"""

from __future__ import annotations

import os
import shlex
import signal
import subprocess
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from threading import Event, Lock

from kitchend.errors import DeviceError
from kitchend.service.printed_lines import lines_of
from kitchend.service.supervisor import HEALTHY_S, PAUSES_S
from kitchend.service.wall_clock import running_s

GRACE_S = 2.0
"""How long a program that was told to end may take over it."""


class Program:
    """One command. `again` starts it anew when it ends, after `pauses_s` that grow; `tell` hears of it."""

    def __init__(
        self,
        command: Sequence[str],
        *,
        again: bool,
        tell: Callable[[str], None],
        pauses_s: Sequence[float] = PAUSES_S,
    ) -> None:
        self._command = tuple(command)
        self._again = again
        self._tell = tell
        self._pauses_s = tuple(pauses_s)
        self._lock = Lock()
        self._child: subprocess.Popen[bytes] | None = None
        self._stopped = Event()
        self.failed = ""
        """How it ended, if that was badly; empty while it runs and when it ended well."""

    def lines(self) -> Iterator[bytes | None]:
        """What it prints, line by line, until it ends for good; DeviceError if it cannot be started."""
        failures = 0
        while (child := self._started()) is not None:
            began_s = running_s()
            with child:
                yield from lines_of(_output(child), self._stopped.is_set)
                self._end(child)
            self.failed = _how_it_ended(child)
            if not self._again or self._stopped.is_set():
                return
            failures = 1 if running_s() - began_s > HEALTHY_S else failures + 1
            pause_s = self._pauses_s[min(failures, len(self._pauses_s)) - 1]
            self._tell(f"{self.name}: {self.failed or 'it ended'}; it is started again")
            self._stopped.wait(pause_s)

    def stop(self) -> None:
        """End it, and all it started; safe from any thread, often."""
        self._stopped.set()
        with self._lock:
            child = self._child
        if child is not None:
            self._end(child)

    @property
    def name(self) -> str:
        """The command, short, as one would say it."""
        text = shlex.join(self._command)
        return text if len(text) <= 60 else f"{text[:59]}…"

    def _started(self) -> subprocess.Popen[bytes] | None:
        with self._lock:
            if self._stopped.is_set():
                return None
            try:
                self._child = subprocess.Popen(
                    self._command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, start_new_session=True
                )
            except (OSError, ValueError) as error:
                why = getattr(error, "strerror", None) or str(error)
                hint = "give the program and its arguments after --"
                raise DeviceError(self.name, f"cannot be started: {why[0].lower()}{why[1:]}", hint) from None
            return self._child

    def _end(self, child: subprocess.Popen[bytes]) -> None:
        """Wait a little for one that closed its output; then, and when stopped, end its whole group."""
        if not self._stopped.is_set():
            with suppress(subprocess.TimeoutExpired):
                child.wait(GRACE_S)
        for number in (signal.SIGTERM, signal.SIGKILL):
            # The group outlives its first process while anything it started does.
            with suppress(ProcessLookupError, PermissionError):
                os.killpg(child.pid, number)
            with suppress(subprocess.TimeoutExpired):
                child.wait(GRACE_S)
                if number is signal.SIGTERM and not _has_group(child.pid):
                    return


def _has_group(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except (ProcessLookupError, PermissionError):
        return False
    return True


def _output(child: subprocess.Popen[bytes]) -> int:
    assert child.stdout is not None
    return child.stdout.fileno()


def _how_it_ended(child: subprocess.Popen[bytes]) -> str:
    code = child.returncode
    if not code:
        return ""
    if code < 0:
        return f"it was ended by signal {-code}"
    return f"it ended with exit code {code}"
