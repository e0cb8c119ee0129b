"""`kitchend check`: everything wrong or doubtful in plan files, the names' sound included."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked, check_plan
from kitchend.reports.check import check_json, check_text
from kitchend.reports.hearing_doubts import hearing_doubts
from kitchend.reports.printing import json_text
from kitchend.service.guard import FINE, PROBLEMS


def check(paths: Sequence[Path], *, as_json: bool, show: Callable[[str], None]) -> int:
    """Print what is wrong or doubtful; the exit code, 1 if anything is wrong."""
    checked = [check_plan(path) for path in paths]
    further = [doubt for path, one in zip(paths, checked, strict=True) for doubt in _sound_of(path, one)]
    show(json_text(check_json(checked, further)) if as_json else check_text(checked, further))
    return FINE if all(one.is_ok for one in checked) else PROBLEMS


def _sound_of(path: Path, one: Checked) -> tuple[Problem, ...]:
    if one.plan is None:
        return ()
    return hearing_doubts(one.file, path.read_text(encoding="utf-8"), one.plan)
