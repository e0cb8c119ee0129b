"""The errors kitchend raises on purpose, each built from fields and each ending as one line for a person.

What a person wrote and what the machine lacks are different families, so that a caller can tell "mend your
file" from "plug the loudspeaker in". Anything else that is raised is a bug. No error carries a traceback or a
second line in its text.
"""

from __future__ import annotations

from dataclasses import dataclass


class KitchendError(Exception):
    """Everything kitchend raises on purpose; `str(error)` is the one line a person is shown."""


class DeviceError(KitchendError):
    """Hardware, or a program that stands for it, is missing or has stopped working.

    `device` names it ("loudspeaker"), `problem` says what is wrong, `hint` how to mend it.
    """

    def __init__(self, device: str, problem: str, hint: str) -> None:
        self.device = device
        self.problem = problem
        self.hint = hint
        super().__init__(f"{device}: {problem}; {hint}")


class DeviceHeldError(DeviceError):
    """Hardware that is there and that another program holds: it can be had once that lets go."""


class OutputError(KitchendError):
    """A file that was asked for cannot be written. `file` names it as it was asked for ("--svg x.svg")."""

    def __init__(self, file: str, problem: str, hint: str) -> None:
        self.file = file
        self.problem = problem
        self.hint = hint
        super().__init__(f"{file}: {problem} ({hint})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong or doubtful in a file: where, what, and how to mend it.

    `line` and `column` count from 1; None when the file as a whole is meant. `field` is the way to the value,
    names first ("greens.steam the greens.takes"), empty for the whole file.
    """

    file: str
    line: int | None = None
    column: int | None = None
    field: str = ""
    message: str
    hint: str | None = None

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line, self.column) if part is not None)
        field = f"{self.field}: " if self.field else ""
        hint = f" ({self.hint})" if self.hint else ""
        # What a person wrote may have line breaks, and is quoted in the message.
        return " ".join(f"{place}: {field}{self.message}{hint}".split())


class PlanError(KitchendError):
    """What a person wrote in a plan cannot be used. `problems` holds everything wrong with the file.

    The text is the first problem's line and, if there are more, how many.
    """

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        more = len(problems) - 1
        super().__init__(f"{problems[0]}{f' and {more} more' if more else ''}")
