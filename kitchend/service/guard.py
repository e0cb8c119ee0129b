"""The one place that catches everything: a failing part must not end the dinner, nor show a traceback.

Errors a person can do something about become their own one line; anything else is a bug, says so in one line
and leaves its whole story in the log. Nothing is retried here.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path

from kitchend.errors import DeviceError, KitchendError, OutputError, PlanError
from kitchend.service.ports import Complain

FINE, PROBLEMS, WRONG_USE, MISSING, BUG, INTERRUPTED = 0, 1, 2, 3, 70, 130
"""Exit codes; 70 is EX_SOFTWARE of sysexits.h, 130 is what shells give for Ctrl-C."""

log = logging.getLogger("kitchend")


class UseError(KitchendError):
    """A command was used in a way that cannot be; the text says which way can."""


def attempt(action: Callable[[], object], *, complain: Complain, doing: str) -> bool:
    """Do it; on failure complain in one line and give False. `doing` names it: "plan the rest"."""
    try:
        action()
    except Exception as error:  # noqa: BLE001 - the one broad handler: a failing part must not end a dinner
        complain(line_for(error, doing=doing))
        return False
    return True


def exit_code(action: Callable[[], int], *, complain: Complain, doing: str) -> int:
    """Do it and give its exit code; on failure complain and give the code for that kind of failure."""
    try:
        return action()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        return FINE
    except Exception as error:  # noqa: BLE001 - the one broad handler: a person is shown a line, not a traceback
        for line in lines_for(error, doing=doing):
            complain(line)
        return code_for(error)


def code_for(error: Exception) -> int:
    """1 for a plan's or a file's problem, 3 for what the machine lacks, 2 for wrong use, 70 for a bug."""
    match error:
        case PlanError() | OutputError():
            return PROBLEMS
        case DeviceError():
            return MISSING
        case KitchendError() | OSError():
            return WRONG_USE
        case _:
            return BUG


def lines_for(error: Exception, *, doing: str) -> tuple[str, ...]:
    """One line for any error, but for a plan all its problems, a line each."""
    if isinstance(error, PlanError):
        return tuple(one_line(str(problem)) for problem in error.problems)
    return (line_for(error, doing=doing),)


def line_for(error: Exception, *, doing: str) -> str:
    """One line for any error; the whole story of a bug goes to the log."""
    if isinstance(error, KitchendError | OSError):
        return one_line(str(error))
    log.error("bug while trying to %s", doing, exc_info=error)
    told = "".join(
        f"; the whole story is in {handler.path}" for handler in log.handlers if isinstance(handler, LogFile)
    )
    return f"this is a bug, could not {doing}: {type(error).__name__}: {one_line(str(error))}{told}"


def one_line(text: str) -> str:
    """The text with line breaks and runs of spaces made single spaces."""
    return " ".join(text.split())


class OnceEach:
    """Passes a complaint on unless it is the one that came last: a loudspeaker that is gone is told once."""

    def __init__(self, complain: Complain) -> None:
        self._complain = complain
        self._last = ""

    def __call__(self, line: str) -> None:
        """Pass it on if it is news."""
        if line != self._last:
            self._last = line
            self._complain(line)


class LogFile(logging.Handler):
    """Appends to a file that is made, folder and all, only when there is something to log."""

    MAX_BYTES = 1_000_000

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))

    def emit(self, record: logging.LogRecord) -> None:
        """Append one record; a log that cannot be written is no reason to fail."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            if self.path.exists() and self.path.stat().st_size > self.MAX_BYTES:
                self.path.replace(self.path.with_suffix(".log.old"))
            with self.path.open("a", encoding="utf-8") as file:
                file.write(self.format(record) + "\n")
        except OSError:
            return


def log_to(path: Path) -> None:
    """Send what kitchend logs to this file and nowhere else."""
    log.handlers[:] = [LogFile(path)]
    log.propagate = False
