"""The settings file: every key, every kind of mistake, one line each with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.clock import TimeOfDay
from kitchend.core.quantities import Scale
from kitchend.core.state import Manners, Repeats
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.service.settings import KEYS, Settings, SettingsError, read_settings
from kitchend.service.settings_sources import MqttWish, SensorWish, TopicWish

EVERY_KEY = """
listen: open
address: hello larder
window: 20 s
ears: first
denoise: yes
voice: natural
rate: 150
input: 3
output: USB Audio
plans: ~/plans
vosk_model: /opt/vosk
whisper_folder: /opt/whisper
preheat: 12 min
keep_days: 14
chance: 95 %
guidance: uk-fsa
level_least: -40
level_most: -12.5
interrupt: false
board: lan
board_port: 8500
repeats_now: 45 s, 2 min
repeats_up: 20 s
repeats_careful: none
quiet_hours: 21:00 to 6:30
sensors:
  - {of: pork, path: /sys/bus/w1/devices/28-0000072f3122/temperature}
  - of: the oven
    path: ~/probe.txt
    unit: F
    scale: 0.1
    every: 30 s
mqtt:
  host: pantry.local
  topics:
    kitchen/probe: pork
    smoker/+/air: {of: fire, unit: F}
  user: cook
  password_file: /etc/kitchend/broker
  ca: /etc/kitchend/ca.pem
  every: 5 s
language: ko
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "settings.yaml"


def read(path: Path, text: str) -> Settings:
    path.write_text(text, encoding="utf-8")
    return read_settings(path)


def test_a_missing_file_is_all_defaults(path: Path) -> None:
    assert read_settings(path) == Settings()
    assert Settings().manners == Manners(rules=rules_for(Jurisdiction.US_FSIS))


def test_a_missing_file_that_was_asked_for_is_refused(path: Path) -> None:
    with pytest.raises(SettingsError, match="there is no such file"):
        read_settings(path, must_exist=True)


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "---\n"])
def test_an_empty_file_is_all_defaults(path: Path, text: str) -> None:
    assert read(path, text) == Settings()


def test_every_key_is_read(path: Path) -> None:
    settings = read(path, EVERY_KEY)
    assert settings == Settings(
        listen="open",
        address="hello larder",
        window=20.0,
        ears="first",
        denoise=True,
        voice="natural",
        rate=150,
        input=3,
        output="USB Audio",
        plans="~/plans",
        vosk_model="/opt/vosk",
        whisper_folder="/opt/whisper",
        preheat=720,
        keep_days=14,
        chance=0.95,
        guidance="uk-fsa",
        level_least=-40.0,
        level_most=-12.5,
        interrupt=False,
        board="lan",
        board_port=8500,
        language="ko",
        repeats_now=(45.0, 120.0),
        repeats_up=(20.0,),
        repeats_careful=(),
        sensors=(
            SensorWish(of="pork", path="/sys/bus/w1/devices/28-0000072f3122/temperature"),
            SensorWish(of="the oven", path="~/probe.txt", unit=Scale.FAHRENHEIT, scale=0.1, every_s=30.0),
        ),
        mqtt=MqttWish(
            host="pantry.local",
            port=8883,
            topics=(
                TopicWish(topic="kitchen/probe", of="pork"),
                TopicWish(topic="smoker/+/air", of="fire", unit=Scale.FAHRENHEIT),
            ),
            user="cook",
            password_file="/etc/kitchend/broker",
            tls=True,
            ca="/etc/kitchend/ca.pem",
            every_s=5.0,
        ),
        quiet_hours=(TimeOfDay(21), TimeOfDay(6, 30)),
    )
    repeats = Repeats(now=(45.0, 120.0), up=(20.0,), careful=())
    rules = rules_for(Jurisdiction.UK_FSA)
    assert settings.manners == Manners(
        address="hello larder",
        language="ko",
        is_open=True,
        window_s=20.0,
        repeats=repeats,
        rules=rules,
        quiet_hours=(TimeOfDay(21), TimeOfDay(6, 30)),
    )
    assert all(f"\n{key}:" in EVERY_KEY for key in KEYS)


MISTAKES = {
    "unknown with a near one": ("adress: hello\n", "1:1: adress: is no setting (did you mean address?)"),
    "unknown without": ("\nbanana: 1\n", "2:1: banana: is no setting (known are listen, address"),
    "twice": ("rate: 150\nrate: 160\n", "2:1: rate: is given twice (keep one)"),
    "no such choice": (
        "listen: loudly\n",
        "1:9: listen: 'loudly' will not do: input should be 'add",
    ),
    "too fast": ("rate: 9000\n", "1:7: rate: 9000 will not do: input should be less than or equal to 300"),
    "no such language": (
        "language: kobold\n",
        "1:11: language: kobold is no language kitchend has (say en (English) or ko (한국어))",
    ),
    "a list": ("address: [a, b]\n", "1:10: address: this will not do: input should be a valid string"),
    "no chance": ("chance: often\n", "1:9: chance: often is no chance (write it like 90 %)"),
    "a chance without its unit": ("chance: 90\n", "1:9: chance: 90 could be anything (say 90 %)"),
    "a level above full scale": ("level_most: 3\n", "1:13: level_most: 3 will not do: input should be less"),
    "levels the wrong way round": (
        "listen: open\nlevel_least: -5\n",
        "2:1: level_least: -5 is above level_most, -10 (the least is the softer)",
    ),
    "no yes or no": ("interrupt: perhaps\n", "1:12: interrupt: 'perhaps' will not do: "),
    "no such board": (
        "board: off\n",
        "1:8: board: False will not do: input should be 'here', 'lan' or 'none'",
    ),
    "no such guidance": (
        "guidance: usda\n",
        "1:11: guidance: 'usda' will not do: input should be 'us-fsis', 'us-food-code' or 'uk-fsa'",
    ),
    "a port of the system's": ("board_port: 80\n", "1:13: board_port: 80 will not do"),
    "no duration": ("window: a while\n", "1:9: window: "),
    "too long a window": ("window: 3 h\n", "1:9: window: 10800 will not do"),
    "hours without an end": (
        'quiet_hours: "21:00"\n',
        "1:14: quiet_hours: from when to when (write it like 21:00 to 07:00)",
    ),
    "hours that are none": ("quiet_hours: 9 pm to 21:00\n", "1:14: quiet_hours: no time at all"),
    "hours as a number": ("quiet_hours: 21\n", "1:14: quiet_hours: 21 will not do: "),
    "a pause that is none": ("repeats_up: 30 s, soon\n", "1:13: repeats_up: "),
    "a pause too short": ("repeats_now: 1 s\n", "1:14: repeats_now: this will not do: input should be"),
    "pauses as a list": ("repeats_now: [30 s]\n", "1:14: repeats_now: this will not do: "),
    "no mapping": ("- listen\n", "has no keys (write one setting a line"),
    "no YAML": ("listen: [open\n", "is not YAML: "),
    "a nest": ("[" * 5000, "is not YAML: "),
    "what looks like a date": ("rate: 2001-99-99\n", "1:7: rate: this will not do: "),
    "null": ("listen:\n", "1:8: listen: "),
}


@pytest.mark.parametrize(("text", "told"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_in_one_line_with_its_place(path: Path, text: str, told: str) -> None:
    with pytest.raises(SettingsError) as caught:
        read(path, text)
    line = str(caught.value)
    assert told in line
    assert line.startswith(str(path))
    assert "\n" not in line


def test_all_mistakes_are_told_at_once(path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        read(path, "adress: x\nrate: 1\nlisten: open\n")
    assert [problem.field for problem in caught.value.problems] == ["adress", "rate"]


def test_bytes_that_are_no_text_are_refused(path: Path) -> None:
    path.write_bytes(b"address: \xff\xfe\n")
    with pytest.raises(SettingsError, match="not UTF-8"):
        read_settings(path)


def test_a_huge_file_is_refused(path: Path) -> None:
    path.write_text("# x\n" * 50_000)
    with pytest.raises(SettingsError, match="larger than"):
        read_settings(path)


def test_a_folder_is_refused(path: Path) -> None:
    path.mkdir()
    with pytest.raises(SettingsError, match="cannot be read"):
        read_settings(path)


def test_a_value_of_several_lines_is_complained_of_in_one(tmp_path: Path) -> None:
    path = tmp_path / "settings.yaml"
    path.write_text("window: |\n  address: hey kitchen\n  address: hey kitchen\n")
    with pytest.raises(SettingsError) as caught:
        read_settings(path)
    (problem,) = caught.value.problems
    assert len(str(problem).splitlines()) == 1
    assert "window: address: hey kitchen address: hey kitchen is no duration" in str(problem)
