"""Before the dinner: the plans there are and what a check says of each, a new one, a look at a timeline.

Nothing is kept here but what was last planned for a look. A file is added whole or not at all, never over
another, and only if it can be cooked.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock
from typing import Any

from kitchend.board.timeline_view import timeline_view
from kitchend.core.clock import Now, TimeOfDay, WallTime
from kitchend.core.dinner import begin, step
from kitchend.core.events import DinnerStarted
from kitchend.core.quantities import parse_time_of_day
from kitchend.core.safety_rules import SafetyRules
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked, check_plan
from kitchend.reports.cautions import USUAL
from kitchend.reports.safety_doubts import safety_doubts
from kitchend.reports.sheet import timeline_sheet
from kitchend.service.opening import opened
from kitchend.service.plan_folder import SUFFIXES
from kitchend.service.ports import Planner, Plans

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,60}\.ya?ml")
MOST_PLANS = 200
MOST_KEPT = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """What came of adding a file: "done", "there", "name", "refused", "closed"; and why."""

    came: str
    why: str = ""
    problems: tuple[Problem, ...] = ()


class PlansDesk:
    """The plans of a folder, or of a dinner in the foreground (`folder` None: nothing can be added)."""

    def __init__(
        self,
        plans: Plans,
        planner: Planner,
        folder: Path | None,
        words: Mapping[str, str],
        rules: SafetyRules = USUAL,
    ) -> None:
        self._plans = plans
        self._planner = planner
        self._folder = folder
        self._words = words
        self._rules = rules
        self._lock = Lock()
        self._looks: dict[tuple[str, str], DinnerStarted] = {}

    def listed(self) -> list[dict[str, Any]]:
        """Every plan with what a check says of it, in the order of the files."""
        if self._folder is None:
            return [_known(self._plans.open(name).plan.name) for name in self._plans.names()]
        with suppress(OSError):
            files = sorted(path for path in self._folder.iterdir() if path.suffix in SUFFIXES)
            names = set(self._plans.names())
            looked = ((check_plan(path), path.name) for path in files[:MOST_PLANS])
            return [_checked(one, name, names, self._rules, self._words["guidance"]) for one, name in looked]
        return []

    @property
    def folder_name(self) -> str:
        """The folder as it is shown; empty where there is none."""
        return "" if self._folder is None else str(self._folder)

    def look(self, name: str, serve: str, now: Now) -> dict[str, Any]:
        """The timeline of a plan as if it began now. PlanError, or QuantityError for a pass that is none."""
        started = self.planned(name, serve, now)
        state, _ = step(begin(), started, now)
        timeline = started.timeline
        first = min((one.start for one in timeline.planned), key=lambda at: at.epoch_s, default=None)
        return {
            "plan": started.plan.name,
            "now": now.wall.epoch_s,
            "offset": now.wall.offset_s,
            "serve": timeline.serve.epoch_s,
            "ready": timeline.ready.epoch_s,
            "late_by_s": timeline.late_by_s,
            "first": None if first is None else first.epoch_s,
            "chance": timeline.on_time_probability,
            "conflicts": [
                {"message": one.message, "changes": list(one.changes)} for one in timeline.conflicts
            ],
            "timeline": timeline_view(state, now, self._words),
        }

    def sheet(self, name: str, serve: str, now: Now) -> str:
        """The plan as a page to print."""
        started = self.planned(name, serve, now)
        return timeline_sheet(started.plan, started.timeline, self._rules)

    def planned(self, name: str, serve: str, now: Now) -> DinnerStarted:
        """The start of that dinner, planned anew unless it was a moment ago."""
        asked: TimeOfDay | WallTime | None = parse_time_of_day(serve) if serve.strip() else None
        with self._lock:
            key = (name, f"{serve.strip()} {int(now.wall.epoch_s) // 60}")
            if key not in self._looks:
                self._looks[key] = opened(name, asked, plans=self._plans, planner=self._planner, now=now)
                for old in list(self._looks)[:-MOST_KEPT]:
                    del self._looks[old]
            return self._looks[key]

    def add(self, name: str, contents: bytes) -> Added:
        """Put a plan into the folder, if it can be cooked and no file has that name."""
        if self._folder is None:
            return Added(came="closed", why=self._words["refused.folder"])
        if not _PLAIN.fullmatch(name):
            return Added(came="name")
        target = self._folder / name
        if target.exists():
            return Added(came="there")
        with TemporaryDirectory(prefix="kitchend-") as aside:
            tried = Path(aside) / name
            tried.write_bytes(contents)
            checked = check_plan(tried)
        if checked.plan is None:
            return Added(came="refused", problems=checked.problems)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            return _put(target, contents)
        except OSError as error:
            return Added(came="closed", why=error.strerror or "it cannot be used")


def _put(target: Path, contents: bytes) -> Added:
    """Beside it first, then linked in place, so that nobody finds half a file and nothing is overwritten."""
    part = target.with_name(f".{target.name}.part")
    try:
        part.write_bytes(contents)
        os.link(part, target)
    except FileExistsError:
        return Added(came="there")
    finally:
        part.unlink(missing_ok=True)
    return Added(came="done")


def _known(name: str) -> dict[str, Any]:
    return {
        "name": name,
        "file": "",
        "ok": True,
        "problems": [],
        "warnings": [],
        "caution": None,
        "facts": None,
    }


def _checked(
    checked: Checked, file: str, names: set[str], rules: SafetyRules, caution: str
) -> dict[str, Any]:
    plan, safety = checked.plan, safety_doubts(checked, rules)
    return {
        "name": None if plan is None else plan.name,
        "file": file,
        "ok": plan is not None and plan.name in names,
        "problems": problems_json(checked.problems),
        "warnings": problems_json((*checked.warnings, *safety)),
        "caution": caution if safety else None,
        "facts": None
        if plan is None
        else {
            "dishes": [dish.name for dish in plan.dishes],
            "steps": len({(one.dish, one.name) for one in plan.steps}),
            "people": plan.people,
            "serve": None if plan.serve is None else str(plan.serve),
        },
    }


def problems_json(problems: tuple[Problem, ...]) -> list[dict[str, Any]]:
    """What is wrong or doubtful, as `kitchend check --json` has it, without the path."""
    return [{key: value for key, value in asdict(one).items() if key != "file"} for one in problems]
