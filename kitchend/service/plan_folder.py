"""The plans that may be started by name: the YAML files of one folder.

A plan with problems is left out with one line and never stops the others. The folder is looked at
whenever names are asked for, so a new file needs no restart.
"""

from __future__ import annotations

from pathlib import Path

from kitchend.core.plan import Plan
from kitchend.errors import PlanError, Problem
from kitchend.files.plan_yaml import read_plan
from kitchend.service.ports import Complain, Opened

SUFFIXES = frozenset({".yaml", ".yml"})


class FolderPlans:
    """Plans in `folder`, by the name each gives itself."""

    def __init__(self, folder: Path, complain: Complain) -> None:
        self._folder = folder
        self._complain = complain
        self._told: set[str] = set()
        self._looked: tuple[tuple[Path, int, int], ...] | None = None
        self._known: dict[str, Opened] = {}

    def names(self) -> tuple[str, ...]:
        """The names of all plans that can be used, in the order of their files."""
        return tuple(self._plans())

    def open(self, name: str) -> Opened:
        """The plan of this name; PlanError if there is none, or if its file has problems by now."""
        found = self._plans().get(name)
        if found is None:
            known = ", ".join(self.names()) or "none"
            problem = Problem(
                file=str(self._folder), message=f"no plan is called {name}", hint=f"there are: {known}"
            )
            raise PlanError((problem,))
        return found

    def _plans(self) -> dict[str, Opened]:
        """All plans that can be used; the files are read only if one of them has changed."""
        files = self._files()
        looks = tuple((path, *_looks(path)) for path in files)
        if looks != self._looked:
            self._looked, self._known = looks, self._read_all(files)
        return self._known

    def _read_all(self, files: list[Path]) -> dict[str, Opened]:
        plans: dict[str, Opened] = {}
        for path in files:
            plan = self._read(path)
            if plan is not None and plan.name in plans:
                self._say(f"{path}: another file has a plan called {plan.name} too; this one is left out")
            elif plan is not None:
                plans[plan.name] = Opened(plan=plan, source=str(path))
        return plans

    def _files(self) -> list[Path]:
        try:
            return sorted(path for path in self._folder.iterdir() if path.suffix in SUFFIXES)
        except OSError as error:
            self._say(f"the plans folder {self._folder} cannot be read: {error.strerror}")
            return []

    def _read(self, path: Path) -> Plan | None:
        try:
            return read_plan(path)
        except PlanError as error:
            self._say(f"left out: {error}")
            return None

    def _say(self, line: str) -> None:
        """Complain, but about the same thing only once."""
        if line not in self._told:
            self._told.add(line)
            self._complain(line)


def _looks(path: Path) -> tuple[int, int]:
    """What changes when a file is written: its time and size; zeros for one that is gone."""
    try:
        found = path.stat()
    except OSError:
        return (0, 0)
    return (found.st_mtime_ns, found.st_size)
