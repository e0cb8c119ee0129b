"""The settings for thermometers: every mistake in them, each with its place, all of them at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.service.settings import SettingsError, read_settings


def mistakes(folder: Path, text: str) -> list[str]:
    """The complaints about such a file, from the place on."""
    path = folder / "settings.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        read_settings(path)
    lines = [str(problem) for problem in caught.value.problems]
    assert all(line.startswith(f"{path}:") and len(line.splitlines()) == 1 for line in lines)
    return [line.removeprefix(f"{path}:") for line in lines]


SENSORS = {
    "no list": ("pork", "1:10: sensors: is no list (write [{of: pork, path:"),
    "of nothing": ("[{path: /x}]", "1:11: sensors.1: has no of (write [{of: pork,"),
    "a word": ("[pork]", "1:11: sensors.1: has no keys (write [{of: pork,"),
    "no place": ("[{of: x, path: probe}]", "1:25: sensors.1.path: probe is no whole path (begin it with /)"),
    "everything": ("[{of: x, path: /**/t}]", "1:25: sensors.1.path: ** is not for paths"),
    "no unit": ("[{of: x, path: /x, unit: K}]", '1:35: sensors.1.unit: "K" is no unit of temperature'),
    "no scale": ("[{of: x, path: /x, scale: 0}]", "1:36: sensors.1.scale: 0 is no scale"),
    "a huge scale": ("[{of: x, path: /x, scale: .inf}]", "1:36: sensors.1.scale: .inf is no scale"),
    "too often": ("[{of: x, path: /x, every: 0 s}]", "1:36: sensors.1.every: 0 s will not do (from 1 s"),
    "no time": ("[{of: x, path: /x, every: [1]}]", "1:36: sensors.1.every: this is no duration"),
    "a time without its unit": ("[{of: x, path: /x, every: 5}]", "1:36: sensors.1.every: "),
    "no name": ("[{of: '', path: /x}]", "1:16: sensors.1.of: this is no text"),
    "a long name": (
        f"[{{of: {'x' * 200}, path: /x}}]",
        "1:16: sensors.1.of: a name has at most 120 characters",
    ),
    "no key": (
        "[{of: x, path: /x, evry: 1 s}]",
        "1:29: sensors.1.evry: is not known here (did you mean every?)",
    ),
    "no key at all": ("[{of: x, path: /x, ? [a] : 1 s}]", "sensors.1.this: is not known here (known are of,"),
    "a key twice": ("[{of: x, of: y, path: /x}]", "1:19: sensors.1.of: is given twice (keep one)"),
    "too many": ("[" + "{}, " * 65 + "]", "1:10: sensors: has more than 64 entries"),
}
MQTT = {
    "a word": ("here", "1:7: mqtt: has no keys (write {host: NAME"),
    "no topics": ("{host: x}", "1:7: mqtt: has no topics (write {host: NAME"),
    "no topic": ("{host: x, topics: {}}", "1:25: mqtt.topics: names no topic"),
    "an address": ("{host: 'mqtt://x', topics: {a: b}}", "1:14: mqtt.host: mqtt://x is no name of a machine"),
    "no port": ("{host: x, port: 0, topics: {a: b}}", "1:23: mqtt.port: 0 is no port"),
    "a # amid": ("{host: x, topics: {'a/#/b': c}}", "1:26: mqtt.topics: a/#/b: a # stands alone and last"),
    "a # with letters": ("{host: x, topics: {'a/b#': c}}", "1:26: mqtt.topics: a/b#: a # stands alone"),
    "a + with letters": ("{host: x, topics: {'a/b+': c}}", "1:26: mqtt.topics: a/b+: a + stands alone"),
    "a topic twice": ("{host: x, topics: {a: b, a: c}}", "1:32: mqtt.topics.a: is given twice"),
    "a topic of nothing": ("{host: x, topics: {a: {unit: F}}}", "1:29: mqtt.topics.a: has no of"),
    "a topic of a number": ("{host: x, topics: {a: 5}}", "1:29: mqtt.topics.a: 5 is no text"),
    "too many topics": (
        "{host: x, topics: {" + ", ".join(f"t{n}: x" for n in range(65)) + "}}",
        "1:25: mqtt.topics: has more than 64 topics",
    ),
    "no yes or no": ("{host: x, tls: maybe, topics: {a: b}}", "1:22: mqtt.tls: maybe is neither true nor"),
    "a password of nobody": (
        "{host: x, password_file: /x, topics: {a: b}}",
        "1:7: mqtt: has a password_file but",
    ),
    "a ca for nothing": ("{host: x, ca: /x, tls: no, topics: {a: b}}", "1:7: mqtt: has a ca but no tls"),
}
CASES = {f"sensors, {name}": ("sensors", *case) for name, case in SENSORS.items()}
CASES |= {f"mqtt, {name}": ("mqtt", *case) for name, case in MQTT.items()}


@pytest.mark.parametrize(("setting", "text", "told"), CASES.values(), ids=CASES)
def test_a_mistake_is_told_in_one_line_with_its_place(
    tmp_path: Path, setting: str, text: str, told: str
) -> None:
    assert told in mistakes(tmp_path, f"{setting}: {text}\n")[0]


def test_all_mistakes_are_told_at_once(tmp_path: Path) -> None:
    text = (
        "sensors: [{of: x, path: y, unit: K}, {of: z}]\nmqtt: {port: x, topics: {'a/b#': c, d: 5}}\nrate: 5\n"
    )
    assert [line.split(": ")[1] for line in mistakes(tmp_path, text)] == [
        "sensors.1.path",
        "sensors.1.unit",
        "sensors.2",
        "mqtt.port",
        "mqtt.topics",
        "mqtt.topics.d",
        "mqtt",
        "rate",
    ]


@pytest.mark.parametrize(("tls", "port"), [("no", 1883), ("yes", 8883)])
def test_the_port_follows_from_tls(tmp_path: Path, tls: str, port: int) -> None:
    path = tmp_path / "settings.yaml"
    path.write_text(f"mqtt: {{host: x, tls: {tls}, topics: {{a: b}}}}\n")
    mqtt = read_settings(path).mqtt
    assert mqtt is not None
    assert (mqtt.port, mqtt.every_s) == (port, 10.0)


@pytest.mark.parametrize("text", ["sensors:\nmqtt:\n", "sensors: []\nmqtt: null\n"])
def test_nothing_asked_for_is_nothing(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.yaml"
    path.write_text(text)
    settings = read_settings(path)
    assert (settings.sensors, settings.mqtt) == ((), None)
