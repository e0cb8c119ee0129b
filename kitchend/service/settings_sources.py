"""The settings `sensors` and `mqtt`: where readings come from by themselves. Every mistake is told.

Both name what a thermometer is in as a cook would say it; what that means is for the dinner that is on.
Nothing is opened here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import partial
from typing import Any, TypeVar

import yaml

from kitchend.core.quantities import QuantityError, Scale, parse_duration
from kitchend.service.taking import LONGEST_NAME, ReadingError, scale_named

MOST = 64
"""No kitchen has more thermometers."""

EVERY_S = 10.0
LEAST_EVERY_S, MOST_EVERY_S = 1, 600
LONGEST = 4096
"""Characters of a path (Linux: PATH_MAX) or a topic at most."""

PORT, TLS_PORT = 1883, 8883
"""As registered with IANA for MQTT and for MQTT over TLS."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorWish:
    """One sensor file, read every so often. `scale` multiplies its number; None: as the kernel has it."""

    of: str
    path: str
    unit: Scale = Scale.CELSIUS
    scale: float | None = None
    every_s: float = EVERY_S


@dataclass(frozen=True, slots=True, kw_only=True)
class TopicWish:
    """One topic of a broker (with `+` and `#` a filter). `unit` None: as the plan has it."""

    topic: str
    of: str
    unit: Scale | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MqttWish:
    """A broker, who to be there, and its topics. At most one reading of a name in `every_s` counts."""

    host: str
    port: int
    topics: tuple[TopicWish, ...]
    user: str | None = None
    password_file: str | None = None
    tls: bool = False
    ca: str | None = None
    every_s: float = EVERY_S


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """One mistake, at its place in the file."""

    node: yaml.Node
    field: str
    message: str
    hint: str | None = None


class SourcesError(Exception):
    """What stands there cannot be used. `wrong` holds every mistake."""

    def __init__(self, wrong: tuple[Wrong, ...]) -> None:
        self.wrong = wrong
        super().__init__("; ".join(one.message for one in wrong))


T = TypeVar("T")
Read = Callable[[yaml.Node], Any]

HOW_SENSORS = "write [{of: pork, path: /sys/...}], see `kitchend sensors`"
HOW_MQTT = "write {host: NAME, topics: {kitchen/probe: pork}}"


def read_sensors(node: yaml.Node) -> tuple[SensorWish, ...]:
    """The list of sensor files; SourcesError with every mistake in it."""
    if _is_null(node):
        return ()
    if not isinstance(node, yaml.SequenceNode):
        raise _wrong(node, "is no list", HOW_SENSORS)
    if len(node.value) > MOST:
        raise _wrong(node, f"has more than {MOST} entries, no kitchen has so many thermometers")
    wrong: list[Wrong] = []
    wishes = [
        _tried(wrong, str(place), partial(_sensor, item)) for place, item in enumerate(node.value, start=1)
    ]
    _raise_if(wrong)
    return tuple(wish for wish in wishes if wish is not None)


def _sensor(node: yaml.Node) -> SensorWish:
    fields = {"of": _name, "path": _path, "unit": _unit, "scale": _scale, "every": _every}
    return SensorWish(**_renamed(_mapping(node, fields, needed=("of", "path"), hint=HOW_SENSORS)))


def read_mqtt(node: yaml.Node) -> MqttWish | None:
    """The broker; SourcesError with every mistake in it."""
    if _is_null(node):
        return None
    fields: dict[str, Read] = {
        "host": _host,
        "port": _port,
        "topics": _topics,
        "user": _text,
        "password_file": _path,
        "tls": _yes_or_no,
        "ca": _path,
        "every": _every,
    }
    found = _mapping(node, fields, needed=("host", "topics"), hint=HOW_MQTT)
    if "password_file" in found and "user" not in found:
        raise _wrong(node, "has a password_file but no user", "name the user too")
    tls = found.setdefault("tls", "ca" in found)
    if "ca" in found and not tls:
        raise _wrong(node, "has a ca but no tls", "say tls: true, or leave ca out")
    found.setdefault("port", TLS_PORT if tls else PORT)
    return MqttWish(**_renamed(found))


def _renamed(found: dict[str, Any]) -> dict[str, Any]:
    return {"every_s" if key == "every" else key: value for key, value in found.items()}


def _topics(node: yaml.Node) -> tuple[TopicWish, ...]:
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise _wrong(node, "names no topic", "write {kitchen/probe: pork}")
    if len(node.value) > MOST:
        raise _wrong(node, f"has more than {MOST} topics, no kitchen has so many thermometers")
    wrong: list[Wrong] = []
    wishes: dict[str, TopicWish] = {}
    for key, value in node.value:
        wish = _tried(wrong, "", partial(_topic_wish, key, value))
        if wish is not None and wish.topic in wishes:
            wrong.append(Wrong(node=key, field=wish.topic, message="is given twice", hint="keep one"))
        elif wish is not None:
            wishes[wish.topic] = wish
    _raise_if(wrong)
    return tuple(wishes.values())


def _topic_wish(key: yaml.Node, value: yaml.Node) -> TopicWish:
    topic = _topic(key)
    wrong: list[Wrong] = []
    if isinstance(value, yaml.MappingNode):
        found = _tried(wrong, topic, partial(_mapping, value, {"of": _name, "unit": _unit}, needed=("of",)))
    else:
        found = {"of": _tried(wrong, topic, partial(_name, value))}
    _raise_if(wrong)
    return TopicWish(topic=topic, **(found or {}))


def _topic(node: yaml.Node) -> str:
    """A topic filter as MQTT 3.1.1 has it, section 4.7: `+` a whole level, `#` the whole rest."""
    topic = _text(node)
    levels = topic.split("/")
    if "\0" in topic or len(topic.encode("utf-8", "replace")) > LONGEST:
        raise _wrong(node, "is no topic", "write it like kitchen/probe")
    if any("#" in level for level in levels[:-1]) or ("#" in levels[-1] and levels[-1] != "#"):
        raise _wrong(node, f"{topic}: a # stands alone and last", "write it like kitchen/#")
    if any("+" in level and level != "+" for level in levels):
        raise _wrong(node, f"{topic}: a + stands alone between two /", "write it like kitchen/+/celsius")
    return topic


# One field each: the value, or a mistake at its place.


def _text(node: yaml.Node) -> str:
    value = _plain(node)
    if not isinstance(value, str) or not value.strip() or len(value) > LONGEST or not value.isprintable():
        raise _wrong(node, f"{_shown(node)} is no text", "write it in quotes")
    return value.strip()


def _name(node: yaml.Node) -> str:
    words = " ".join(_text(node).split())
    if len(words) > LONGEST_NAME:
        raise _wrong(node, f"a name has at most {LONGEST_NAME} characters")
    return words


def _path(node: yaml.Node) -> str:
    path = _text(node)
    if not path.startswith(("/", "~")):
        raise _wrong(node, f"{path} is no whole path", "begin it with /")
    if "**" in path:
        raise _wrong(node, "** is not for paths", "one * stands for a name that changes")
    return path


def _host(node: yaml.Node) -> str:
    host = _text(node)
    if "://" in host or "/" in host or " " in host or len(host) > 253:
        raise _wrong(node, f"{_shown(node)} is no name of a machine", "write localhost, or 192.168.1.5")
    return host


def _port(node: yaml.Node) -> int:
    value = _plain(node)
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 65535:
        raise _wrong(node, f"{_shown(node)} is no port", f"it is mostly {PORT}, or {TLS_PORT} with tls")
    return value


def _yes_or_no(node: yaml.Node) -> bool:
    value = _plain(node)
    if not isinstance(value, bool):
        raise _wrong(node, f"{_shown(node)} is neither true nor false")
    return value


def _scale(node: yaml.Node) -> float:
    value = _plain(node)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1e-9 <= abs(value) <= 1e9:
        raise _wrong(node, f"{_shown(node)} is no scale", "write 0.001 for thousandths of a degree")
    return float(value)


def _unit(node: yaml.Node) -> Scale:
    try:
        return scale_named(_plain(node))
    except ReadingError as error:
        raise _wrong(node, str(error)) from None


def _every(node: yaml.Node) -> float:
    try:
        seconds = parse_duration(_shown(node))
    except QuantityError as error:
        raise _wrong(node, str(error)) from None
    if not LEAST_EVERY_S <= seconds <= MOST_EVERY_S:
        raise _wrong(node, f"{_shown(node)} will not do", "from 1 s to 10 min")
    return float(seconds)


# Several at once, with everything wrong among them told together.


def _tried(wrong: list[Wrong], under: str, read: Callable[[], T]) -> T | None:
    """What `read` gives; its mistakes go to `wrong`, with `under` before their fields."""
    try:
        return read()
    except SourcesError as error:
        wrong.extend(replace(one, field=".".join(filter(None, (under, one.field)))) for one in error.wrong)
        return None


def _raise_if(wrong: list[Wrong]) -> None:
    if wrong:
        raise SourcesError(tuple(wrong))


def _mapping(
    node: yaml.Node, fields: Mapping[str, Read], *, needed: tuple[str, ...], hint: str | None = None
) -> dict[str, Any]:
    """What stands under the known keys; SourcesError with every mistake."""
    if not isinstance(node, yaml.MappingNode):
        raise _wrong(node, "has no keys", hint)
    found: dict[str, Any] = {}
    wrong: list[Wrong] = []
    for key, value in node.value:
        name = _shown(key)
        if name in found:
            wrong.append(Wrong(node=key, field=name, message="is given twice", hint="keep one"))
        elif name not in fields:
            wrong.append(Wrong(node=key, field=name, message="is not known here", hint=_near(name, fields)))
        else:
            found[name] = _tried(wrong, name, partial(fields[name], value))
    wrong.extend(
        Wrong(node=node, field="", message=f"has no {name}", hint=hint)
        for name in needed
        if name not in found
    )
    _raise_if(wrong)
    return found


def _near(name: str, fields: Mapping[str, Read]) -> str:
    near = get_close_matches(name, list(fields), n=1)
    return f"did you mean {near[0]}?" if near else f"known are {', '.join(fields)}"


def _wrong(node: yaml.Node, message: str, hint: str | None = None) -> SourcesError:
    return SourcesError((Wrong(node=node, field="", message=message, hint=hint),))


def _plain(node: yaml.Node) -> object:
    """A scalar as YAML reads it; None for anything else, and for what only looks like a date."""
    if not isinstance(node, yaml.ScalarNode):
        return None
    try:
        return yaml.SafeLoader("").construct_object(node)
    except ValueError:
        return None


def _shown(node: yaml.Node) -> str:
    if not isinstance(node, yaml.ScalarNode):
        return "this"
    text = " ".join(str(node.value).split()) or "this"
    return text if len(text) <= 40 else f"{text[:40]}…"


def _is_null(node: yaml.Node) -> bool:
    return node.tag == "tag:yaml.org,2002:null"
