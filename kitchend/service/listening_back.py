"""`kitchend hear`: take recordings through the listener as if they were said at the plan's dinner."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path

from kitchend.core.clock import Now
from kitchend.core.dinner import begin, step
from kitchend.core.state import DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.hearing import Heard
from kitchend.hearing.wav import RecordingError, read_wav
from kitchend.reports.hear import hear_json, hear_line
from kitchend.service.ears import listener_of
from kitchend.service.full_swing import in_full_swing, sayable_in_full_swing
from kitchend.service.guard import FINE, PROBLEMS, one_line
from kitchend.service.memory import MemoryPlans
from kitchend.service.opening import opened
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import Complain, Opened
from kitchend.service.settings import Settings
from kitchend.service.wall_clock import SystemClock

Show = Callable[[str], None]


def hear(
    files: Sequence[Path],
    plan_path: Path,
    settings: Settings,
    *,
    in_window: bool = False,
    as_json: bool,
    show: Show,
    complain: Complain,
) -> int:
    """Print a line a file; the exit code, 1 if one cannot be heard. PlanError if the plan has problems.

    Recordings begin with the address phrase, unless they were made `in_window`: after a call or a question.
    """
    now = SystemClock().now()
    state = in_full_swing(dinner_of(plan_path, settings, now), now)
    listener = listener_of(settings, complain)
    listener.listen_for(sayable_in_full_swing(state, now, in_window=in_window))
    code = FINE
    try:
        for path in files:
            try:
                heard = listener.hear(read_wav(path))
            except RecordingError as error:
                complain(one_line(str(error)))
                code = PROBLEMS
                heard = nothing(one_line(error.problem))
            result = hear_json(str(path), heard, state, now)
            show(json.dumps(result, ensure_ascii=False) if as_json else hear_line(result))
    finally:
        listener.close()
    return code


def nothing(reason: str) -> Heard:
    """What is heard in a file that holds no sound."""
    return Heard(text="", accepted=False, reason=reason, started_s=0, ended_s=0, audio_s=0, took_s=0)


def dinner_of(plan_path: Path, settings: Settings, now: Now) -> DinnerState:
    """The plan's dinner, begun now."""
    plan = read_plan(plan_path)
    plans = MemoryPlans({plan.name: Opened(plan=plan, source=str(plan_path))})
    planner = SolvingPlanner(settings.preheat, settings.chance)
    started = opened(plan.name, None, plans=plans, planner=planner, now=now)
    state, _ = step(begin(settings.manners), started, now)
    return state
