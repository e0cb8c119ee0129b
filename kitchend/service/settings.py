"""The settings file: YAML, every key optional, none unknown. Missing file: all defaults.

What a person wrote wrongly is refused with the line, the key and how to mend it, all of it at once. Settings
say how kitchend behaves; what a dinner is stands in its plan.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any, Literal, get_type_hints

import yaml
from pydantic import Field, TypeAdapter, ValidationError

from kitchend.core.clock import TimeOfDay
from kitchend.core.plan import Plan
from kitchend.core.quantities import QuantityError, parse_chance, parse_duration, parse_time_of_day
from kitchend.core.safety_rules import SafetyRules
from kitchend.core.state import Manners, Repeats
from kitchend.core.tongue import DEFAULT, language_of
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.errors import KitchendError, Problem
from kitchend.files.languages import parse_language
from kitchend.service.places import places
from kitchend.service.retention import KEPT_DAYS
from kitchend.service.settings_sources import MqttWish, SensorWish, SourcesError, read_mqtt, read_sensors

MAX_BYTES = 100_000

Device = str | int | None
EarsWish = Literal["auto", "first", "second", "both"]
DenoiseWish = bool | Literal["auto"] | None
"""None is auto, as older settings files have it."""

Level = Annotated[float, Field(ge=-60, le=-3)]
"""How loud speech is as it is played, in dB below full scale."""

Pause = Annotated[float, Field(ge=5, le=3600)]
Pauses = Annotated[tuple[Pause, ...], Field(max_length=8)]
"""Pauses between repeats, in seconds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How kitchend behaves here. `window`, `preheat` and pauses are written as durations, kept in seconds.

    `chance` is how sure to be of the pass, 0 to 1, where a plan does not say. `language` is a tag; without an
    `address` it is that language's.
    """

    listen: Literal["addressed", "open"] = "addressed"
    address: Annotated[str, Field(min_length=2, max_length=60, pattern=r"^[\p{L}\p{M}' ]+$")] | None = None
    window: Annotated[float, Field(ge=0, le=120)] = 12.0
    ears: EarsWish = "auto"
    denoise: DenoiseWish = "auto"
    voice: Literal["default", "natural"] = "default"
    rate: Annotated[int, Field(ge=80, le=300)] | None = None
    input: Device = None
    output: Device = None
    plans: str | None = None
    vosk_model: str | None = None
    whisper_folder: str | None = None
    preheat: Annotated[int, Field(ge=0, le=7200)] | None = None
    keep_days: Annotated[int, Field(ge=0, le=3650)] = KEPT_DAYS
    level_least: Level = -36.0
    level_most: Level = -10.0
    interrupt: bool = True
    chance: float = 0.9
    guidance: Literal["us-fsis", "us-food-code", "uk-fsa"] = "us-fsis"
    board: Literal["here", "lan", "none"] = "here"
    board_port: Annotated[int, Field(ge=1024, le=65535)] = 8420
    language: str = DEFAULT
    repeats_now: Pauses = Repeats().now
    repeats_up: Pauses = Repeats().up
    repeats_careful: Pauses = Repeats().careful
    sensors: tuple[SensorWish, ...] = ()
    mqtt: MqttWish | None = None
    quiet_hours: tuple[TimeOfDay, TimeOfDay] | None = None

    @property
    def manners(self) -> Manners:
        """The part of them that the dinner itself lives by."""
        repeats = Repeats(now=self.repeats_now, up=self.repeats_up, careful=self.repeats_careful)
        return Manners(
            address=self.address or language_of(self.language).address,
            language=self.language,
            is_open=self.listen == "open",
            window_s=self.window,
            repeats=repeats,
            rules=self.rules,
            quiet_hours=self.quiet_hours,
        )

    @property
    def rules(self) -> SafetyRules:
        """The food-safety guidance that plans are checked by and dinners go by."""
        return rules_for(Jurisdiction(self.guidance))


DURATIONS = frozenset({"window", "preheat"})
PAUSES = frozenset({"repeats_now", "repeats_up", "repeats_careful"})
SOURCES = {"sensors": read_sensors, "mqtt": read_mqtt}
KEYS = tuple(field.name for field in fields(Settings))


class SettingsError(KitchendError):
    """The settings cannot be used. `problems` holds everything wrong with the file."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("; ".join(str(problem) for problem in problems))


def read_settings(path: Path, *, must_exist: bool = False) -> Settings:
    """The settings in `path`; SettingsError if it has problems, or `must_exist` and it does not."""
    file = str(path)
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        if must_exist:
            raise _refused(file, "there is no such file") from None
        return Settings()
    except OSError as error:
        raise _refused(file, f"cannot be read: {error.strerror}") from None
    if len(raw) > MAX_BYTES:
        raise _refused(file, f"is larger than {MAX_BYTES} bytes, no settings file is")
    try:
        return _settings(file, yaml.compose(raw.decode("utf-8"), Loader=yaml.SafeLoader))
    except UnicodeDecodeError:
        raise _refused(file, "is not UTF-8 text") from None
    except (yaml.YAMLError, RecursionError) as error:
        raise _not_yaml(file, error) from None


def _settings(file: str, root: yaml.Node | None) -> Settings:
    if root is None or root.tag == "tag:yaml.org,2002:null":
        return Settings()
    if not isinstance(root, yaml.MappingNode):
        raise _refused(file, "has no keys", "write one setting a line, such as 'listen: open'")
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for key, node in root.value:
        try:
            name = _known(file, key, values)
            values[name] = _value(file, name, node)
        except SettingsError as error:
            problems.extend(error.problems)
    if problems:
        raise SettingsError(tuple(problems))
    settings = Settings(**values)
    if settings.level_least > settings.level_most:
        least = next(key for key, _ in root.value if key.value in {"level_least", "level_most"})
        above = f"{settings.level_least:g} is above level_most, {settings.level_most:g}"
        raise _refused(file, above, "the least is the softer", node=least, field=str(least.value))
    return settings


def _known(file: str, key: yaml.Node, so_far: dict[str, Any]) -> str:
    name = str(key.value)
    if name in so_far:
        raise _refused(file, "is given twice", "keep one", node=key, field=name)
    if name in KEYS:
        return name
    near = get_close_matches(name, KEYS, n=1)
    hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(KEYS)}"
    raise _refused(file, "is no setting", hint, node=key, field=name)


def _source(file: str, name: str, node: yaml.Node) -> Any:
    try:
        return SOURCES[name](node)
    except SourcesError as error:
        wrong = [
            _refused(file, one.message, one.hint, node=one.node, field=f"{name}.{one.field}".rstrip("."))
            for one in error.wrong
        ]
        raise SettingsError(tuple(problem for each in wrong for problem in each.problems)) from None


def _value(file: str, name: str, node: yaml.Node) -> Any:
    if name in SOURCES:
        return _source(file, name, node)
    value = _plain(node)
    try:
        if name in DURATIONS and isinstance(value, str):
            value = parse_duration(value)
        elif name in PAUSES and isinstance(node, yaml.ScalarNode):
            value = _pauses(node.value)
        elif name == "quiet_hours" and isinstance(value, str):
            value = _hours(value)
        elif name == "language" and isinstance(node, yaml.ScalarNode):
            value = parse_language(node.value)
        elif name == "chance" and isinstance(node, yaml.ScalarNode):
            value = parse_chance(node.value)
    except QuantityError as error:
        raise _refused(file, str(error), node=node, field=name) from None
    try:
        return TypeAdapter(get_type_hints(Settings, include_extras=True)[name]).validate_python(value)
    except ValidationError as error:
        words = error.errors()[0]["msg"]
        shown = repr(value) if isinstance(value, str | int | float | bool) else "this"
        message = f"{shown} will not do: {words[0].lower()}{words[1:]}"
        raise _refused(file, message, node=node, field=name) from None


def _pauses(text: str) -> tuple[float, ...]:
    """ "30 s, 1 min" as seconds; "none" is no pause at all. QuantityError for what is no duration."""
    words = text.strip()
    return () if words.casefold() == "none" else tuple(parse_duration(part) for part in words.split(","))


def _hours(text: str) -> tuple[TimeOfDay, TimeOfDay]:
    """ "21:00 to 07:00" as two times of day, the second may be of the next day. Else QuantityError."""
    first, to, last = (part.strip() for part in text.partition(" to "))
    hint = "write it like 21:00 to 07:00"
    if not to:
        raise QuantityError("from when to when", hint)
    hours = parse_time_of_day(first), parse_time_of_day(last)
    if hours[0] == hours[1]:
        raise QuantityError("no time at all", hint)
    return hours


def _plain(node: yaml.Node) -> Any:
    """A scalar as YAML reads it; anything else as it stands, for the check of its type to refuse."""
    if not isinstance(node, yaml.ScalarNode):
        return node
    try:
        return yaml.SafeLoader("").construct_object(node)
    except ValueError:  # what only looks like a date
        return node


def _not_yaml(file: str, error: Exception) -> SettingsError:
    mark = getattr(error, "problem_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark else (None, None)
    message = f"is not YAML: {getattr(error, 'problem', None) or 'nested too deep'}"
    return SettingsError((Problem(file=file, line=line, column=column, message=message),))


def _refused(
    file: str, message: str, hint: str | None = None, *, node: yaml.Node | None = None, field: str = ""
) -> SettingsError:
    line, column = (node.start_mark.line + 1, node.start_mark.column + 1) if node else (None, None)
    problem = Problem(file=file, line=line, column=column, field=field, message=message, hint=hint)
    return SettingsError((problem,))


def settings_for(path: Path | None) -> Settings:
    """The settings a command runs with: of the file it was given, which must exist, or of the usual one."""
    return read_settings(path or places().settings, must_exist=path is not None)


def for_plan(settings: Settings, plan: Plan) -> Settings:
    """The settings for a dinner of this plan: run in the plan's language, addressed in it too."""
    if settings.language == plan.language:
        return settings
    return replace(settings, language=plan.language, address=None)
