"""`kitchend check`: everything wrong or doubtful in plan files, the names' sound included."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from kitchend.core.clock import DAY_S
from kitchend.core.floods import FLOOD
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.timeline import Timeline
from kitchend.errors import DeviceError, KitchendError, Problem
from kitchend.files.plan_yaml import Checked, check_plan
from kitchend.hearing.vosk_ear import VoskEar, find_model
from kitchend.reports.check import caution_for, check_json, check_text
from kitchend.reports.flood_doubts import flood_doubts
from kitchend.reports.hands_doubts import needs_timeline
from kitchend.reports.hearing_doubts import Unknown, built_in, hearing_doubts
from kitchend.reports.printing import json_text
from kitchend.reports.safety_doubts import safety_doubts
from kitchend.service.guard import FINE, PROBLEMS
from kitchend.service.planner import SolvingPlanner
from kitchend.service.settings import Settings, settings_for
from kitchend.service.wall_clock import SystemClock


def check(
    paths: Sequence[Path], *, as_json: bool, show: Callable[[str], None], vosk_model: Path | None = None
) -> int:
    """Print what is wrong or doubtful; the exit code, 1 if anything is wrong."""
    checked = [check_plan(path) for path in paths]
    rules = settings_or_usual().rules
    further: list[Problem] = []
    safety: list[Problem] = []
    for path, one in zip(paths, checked, strict=True):
        timeline = _timeline_of(one, rules)
        further += (*_sound_of(path, one, vosk_model), *_calls_of(path, one, timeline))
        safety += safety_doubts(one, rules, timeline)
    found, caution = [*safety, *further], caution_for(checked) if safety else ""
    show(json_text(check_json(checked, found, caution)) if as_json else check_text(checked, found, caution))
    return FINE if all(one.is_ok for one in checked) else PROBLEMS


def _sound_of(path: Path, one: Checked, vosk_model: Path | None) -> tuple[Problem, ...]:
    if one.plan is None:
        return ()
    text = path.read_text(encoding="utf-8")
    return hearing_doubts(one.file, text, one.plan, unknown_to(vosk_model, one.plan.language))


def _timeline_of(one: Checked, rules: SafetyRules) -> Timeline | None:
    """The timeline of a pass that leaves time for everything, where something is to be read from it."""
    if one.plan is None or not (2 * len(one.plan.steps) > FLOOD or needs_timeline(one.plan, rules)):
        return None
    now = SystemClock().now()
    serve = None if one.plan.serve is None else now.wall.next_at(one.plan.serve) + DAY_S
    return SolvingPlanner().first(one.plan, serve, now)


def _calls_of(path: Path, one: Checked, timeline: Timeline | None) -> tuple[Problem, ...]:
    """Where it would call too often."""
    if one.plan is None or timeline is None:
        return ()
    return flood_doubts(one.file, path.read_text(encoding="utf-8"), one.plan, timeline)


def no_ear(words: Iterable[str]) -> Mapping[str, str | None]:
    """Without a model nothing can be told of the words of a language that has no built-in ear."""
    return {}


def settings_or_usual() -> Settings:
    """The settings; the usual ones if they can't be read, which is not said here."""
    try:
        return settings_for(None)
    except KitchendError:
        return Settings()


def named_model() -> Path | None:
    """The Vosk model the settings name; None if they name none."""
    named = settings_or_usual().vosk_model
    return Path(named).expanduser() if named else None


def unknown_to(vosk_model: Path | None, language: str = "en") -> Unknown:
    """What the first ear that would listen does not know: Vosk where a model is, else the built-in one."""
    try:
        folder = find_model(vosk_model, language=language)
    except DeviceError:
        folder = None
    if folder is None:
        return built_in if language == "en" else no_ear
    ear = VoskEar(folder)
    return lambda words: dict.fromkeys(ear.missing_words(words))
