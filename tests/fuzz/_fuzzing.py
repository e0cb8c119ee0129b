"""What is fuzzed, and how: each target takes bytes and raises when kitchend answers them as it must not.

The minutes are given twice: to hypothesis, which knows what the files look like, and then to atheris, which
follows the code; atheris has wheels for x86-64 only, and where it is missing hypothesis is alone.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import monotonic

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from kitchend.core.clock import Instant
from kitchend.core.events import PhraseHeard, ReadingTaken
from kitchend.core.quantities import Scale
from kitchend.files.plan_yaml import check_plan
from kitchend.reports.cautions import USUAL
from kitchend.reports.safety_doubts import safety_doubts
from kitchend.service.control import Answer, answer_to
from kitchend.service.intake import Took
from kitchend.service.settings import KEYS, SettingsError, read_settings
from kitchend.service.taking import KEYS as READING_KEYS
from kitchend.service.taking import Taking
from tests.service.kitchen import Kitchen, quay_plan

PLANS = sorted((Path(__file__).parents[2] / "plans").glob("*.yaml"))
MINUTES = 10.0
LONGEST_LINE = 400
BATCH = 300

Target = Callable[[bytes], None]


class WrongAnswerError(AssertionError):
    """kitchend answered, but not as it must."""


_FOLDER = tempfile.TemporaryDirectory(prefix="kitchend-fuzz-")
_FILE = Path(_FOLDER.name) / "fuzzed.yaml"


def a_settings_file(data: bytes) -> None:
    """Any file is settings, or refused with lines that say where and what."""
    _FILE.write_bytes(data)
    try:
        read_settings(_FILE)
    except SettingsError as error:
        for problem in error.problems:
            _is_a_line(str(problem))


def a_plan_file(data: bytes) -> None:
    """Any file is a plan, or has problems with their places."""
    _FILE.write_bytes(data)
    checked = check_plan(_FILE)
    if (checked.plan is None) == (not checked.problems):
        raise WrongAnswerError("neither a plan nor a problem, or both")
    for problem in (*checked.problems, *checked.warnings, *safety_doubts(checked, USUAL)):
        _is_a_line(str(problem))


class _TypingDesk:
    """Puts words to a real dinner; counts how often it was asked."""

    def __init__(self) -> None:
        with tempfile.TemporaryDirectory() as folder:
            self._plan = quay_plan(Path(folder))
        self.asked = 0
        self.kitchen = self._begun()

    def tell(self, words: str) -> tuple[str, ...]:
        self.asked += 1
        before = len(self.kitchen.said)
        event = PhraseHeard(text=words, started=Instant(self.kitchen.clock.now().instant.s), is_typed=True)
        self.kitchen.put(event)
        if self.kitchen.complaints:
            raise WrongAnswerError(self.kitchen.complaints[0])
        said = tuple(self.kitchen.said[before:])
        if len(self.kitchen.stepped) > 2000:
            self.kitchen = self._begun()
        return said

    def status(self) -> Answer:
        self.asked += 1
        return {}

    def forget(self) -> bool:
        self.asked += 1
        return False

    def reading(self, taking: Taking) -> Took:
        celsius = taking.celsius(Scale.CELSIUS)
        self.asked += 1
        if not -60 <= celsius <= 600:
            raise WrongAnswerError(f"{celsius} C came through the door")
        self.kitchen.put(ReadingTaken(of=taking.of, celsius=celsius))
        if self.kitchen.complaints:
            raise WrongAnswerError(self.kitchen.complaints[0])
        return Took(celsius=celsius, of=taking.of)

    def _begun(self) -> Kitchen:
        kitchen = Kitchen(self._plan)
        kitchen.begin()
        return kitchen


_DESK = _TypingDesk()


def a_control_line(data: bytes) -> None:
    """Any line gets one answer in one line; what is no request reaches no dinner and changes nothing."""
    asked, state = _DESK.asked, _DESK.kitchen.runner.state
    answer = answer_to(data, _DESK)
    _is_a_line(json.dumps(answer), longest=100_000)
    if "error" in answer:
        _is_a_line(answer["error"])
        if "this is a bug" in answer["error"]:
            raise WrongAnswerError(answer["error"])
        if _DESK.asked != asked or _DESK.kitchen.runner.state is not state:
            raise WrongAnswerError("refused, and yet something moved")


def _is_a_line(text: str, longest: int = 2000) -> None:
    if not text.strip() or "\n" in text or "Traceback" in text or len(text) > longest:
        raise WrongAnswerError(f"no clear line: {text[:200]!r}")


def _mangled(seeds: list[bytes], words: list[str]) -> st.SearchStrategy[bytes]:
    """Files that look right from afar: lines of real ones, changed, doubled, moved, with strange values."""
    lines = sorted({line for seed in seeds for line in seed.decode().splitlines()})
    odd = st.one_of(
        st.sampled_from(
            ["", "~", "[]", "{}", "1e999", "-1", "0", "yes", "&a", "*a", "!!python/none", "|", "\t"]
        ),
        st.sampled_from(words),
        st.text(max_size=30),
        st.integers().map(str),
    )
    line = st.one_of(
        st.sampled_from(lines),
        st.builds(lambda head, value: f"{head.split(':')[0]}: {value}", st.sampled_from(lines), odd),
        st.builds(
            lambda head, indent: " " * indent + head.strip(), st.sampled_from(lines), st.integers(0, 12)
        ),
    )
    whole = st.builds(
        lambda seed, place, new: _with_line(seed.decode().splitlines(), place, new),
        st.sampled_from(seeds),
        st.integers(0, 200),
        st.lists(line, max_size=3),
    )
    loose = st.lists(line, max_size=20).map(lambda found: "\n".join(found).encode("utf-8", "surrogatepass"))
    return st.one_of(whole, whole, loose, st.binary(max_size=300))


def _with_line(lines: list[str], place: int, new: list[str]) -> bytes:
    place %= len(lines) + 1
    return "\n".join([*lines[:place], *new, *lines[place + 1 :]]).encode("utf-8", "surrogatepass")


def _requests() -> st.SearchStrategy[bytes]:
    words = st.one_of(
        st.text(max_size=60),
        st.lists(
            st.sampled_from("the rice greens is on done drop yes no undo that for five minutes".split())
        ).map(" ".join),
    )
    value = st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), words),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
        ),
        max_leaves=5,
    )
    request = st.one_of(
        words.map(lambda text: {"tell": text}),
        value.map(lambda one: {"tell": one}),
        value.map(lambda one: {"status": one}),
        value.map(lambda one: {"reading": one}),
        value.map(lambda one: {"forget": one}),
        st.dictionaries(st.sampled_from([*READING_KEYS, "note"]), value, max_size=4).map(
            lambda one: {"reading": one}
        ),
        st.floats().map(lambda one: {"reading": {"of": "rice", "celsius": one}}),
        value,
    )
    return st.one_of(request.map(lambda one: json.dumps(one).encode()), st.binary(max_size=200))


SETTINGS_SEED = b"""listen: open
address: hey kitchen
window: 12 s
ears: both
denoise: true
voice: natural
rate: 170
input: 3
output: kitchen
plans: ~/plans
preheat: 15 min
sensors:
  - of: pork
    path: /sys/bus/w1/devices/28-0000072f3122/temperature
    unit: C
    scale: 0.001
    every: 10 s
mqtt:
  host: localhost
  port: 1883
  tls: true
  user: cook
  password_file: /etc/kitchend/broker
  topics:
    kitchen/+/probe: pork
    kitchen/oven: {of: oven, unit: F}
"""
_CONTROL_SEEDS = [
    b'{"tell": "what\'s next"}',
    b'{"status": true}',
    b'{"forget": true}',
    b'{"reading": {"of": "hob", "celsius": 58}}',
    b'{"reading": {"name": "rice", "degrees": 136, "unit": "F"}}',
]
_PLAN_SEEDS = [path.read_bytes() for path in PLANS]
TARGETS: dict[str, tuple[Target, st.SearchStrategy[bytes], list[bytes]]] = {
    "settings": (a_settings_file, _mangled([SETTINGS_SEED], list(KEYS)), [SETTINGS_SEED]),
    "plans": (a_plan_file, _mangled(_PLAN_SEEDS, ["70 to 85 min", "oven at 200 C", "all day"]), _PLAN_SEEDS),
    "control": (a_control_line, _requests(), _CONTROL_SEEDS),
}


def examples(name: str, count: int) -> None:
    """So many examples of hypothesis'; raises at the first that is answered wrongly."""
    target, strategy, _ = TARGETS[name]
    phases = (Phase.explicit, Phase.generate, Phase.shrink)

    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        phases=phases,
        suppress_health_check=list(HealthCheck),
    )
    @given(data=strategy)
    def run(data: bytes) -> None:
        target(data)

    run()


def main(name: str) -> int:
    """Fuzz one target for the minutes asked for with each engine; 1 if an answer was wrong."""
    parser = argparse.ArgumentParser(description=f"Fuzz {name} with hypothesis and atheris.")
    usual = float(os.environ.get("KITCHEND_FUZZ_MINUTES", MINUTES))
    parser.add_argument("--minutes", type=float, default=usual)
    minutes = parser.parse_args().minutes
    has_atheris = importlib.util.find_spec("atheris") is not None
    share_s = 60 * minutes
    began_s, count = monotonic(), 0
    while monotonic() - began_s < share_s:
        examples(name, BATCH)
        count += BATCH
    print(
        f"{name}: {count} files from hypothesis in {monotonic() - began_s:.0f} s, none answered wrongly",
        flush=True,
    )
    if not has_atheris:
        print(f"{name}: NO ATHERIS here, so nobody followed the code; where it has a wheel: .ci/atheris")
        return 0
    return _follow_the_code(name, share_s)


def _follow_the_code(name: str, seconds: float) -> int:
    """Let atheris have its turn, in a process of its own, as it ends the one it runs in."""
    with tempfile.TemporaryDirectory(prefix="kitchend-corpus-") as folder:
        for number, seed in enumerate(TARGETS[name][2]):
            (Path(folder) / str(number)).write_bytes(seed)
        script = Path(__file__).with_name("_follow.py")
        limits = [
            f"-max_total_time={max(1, round(seconds))}",
            "-timeout=20",
            "-rss_limit_mb=2000",
            "-max_len=8192",
        ]
        done = subprocess.run(
            [sys.executable, str(script), name, *limits, f"-artifact_prefix={folder}/", folder],
            capture_output=True,
            text=True,
            check=False,
        )
        told = (done.stdout + done.stderr).splitlines()
        runs = next((line for line in reversed(told) if line.startswith("Done ")), "")
        print(f"{name}: atheris: {runs or 'it ended early'}", flush=True)
        if done.returncode != 0:
            print(*told[-40:], sep="\n")
    return 1 if done.returncode else 0
