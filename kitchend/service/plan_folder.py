"""The plans that may be started by name: the YAML files of one folder.

A plan with problems is left out with one line and never stops the others. The folder is read again whenever
names are asked for, so a new file needs no restart.
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
        plans: dict[str, Opened] = {}
        for path in self._files():
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
