"""What devices complain of, in the language of the house: every piece that is raised has its own there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from kitchend.core.complaints import told_in
from kitchend.core.languages import LANGUAGES

RAISED_IN = (
    "hearing/capture.py",
    "speaking/player.py",
    "service/devices.py",
    "service/voicing.py",
    "service/ears.py",
)
OTHERS = sorted(LANGUAGES.keys() - {"en"})


def latin(line: str) -> list[str]:
    """The Latin words of a line but for what is to be typed."""
    return re.findall("[A-Za-z]+", re.sub("`[^`]*`", "", line))


def raised() -> list[str]:
    """Every text without a field that a DeviceError of these files is made with."""
    found = []
    for name in RAISED_IN:
        tree = ast.parse(Path("kitchend", name).read_text(encoding="utf-8"))
        named = {
            target.id: node.value.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, ast.Constant)
            for target in ([node.target] if isinstance(node, ast.AnnAssign) else node.targets)
            if isinstance(target, ast.Name)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and ast.unparse(node.func).startswith("Device"):
                texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant)]
                texts += [named[arg.id] for arg in node.args if isinstance(arg, ast.Name) and arg.id in named]
                found += [text for text in texts if isinstance(text, str)]
    return found


@pytest.mark.parametrize("tag", OTHERS)
def test_what_is_raised_while_a_dinner_is_on_has_no_english_left(tag: str) -> None:
    texts = raised()
    assert len(texts) > 20
    assert {text: told for text in texts if latin(told := told_in(tag, text))} == {}


@pytest.mark.parametrize(
    "line",
    [
        (
            "microphone: there is none; plug one in, or close the program that holds it, then try: "
            "kitchend soundcheck"
        ),
        (
            "loudspeaker: no loudspeaker can be opened; check that it is plugged in and switched on, "
            "then try: kitchend soundcheck"
        ),
        "loudspeaker: there is none. So calls are printed.",
        "microphone: there is none. So type what you would say and calls are printed.",
        "ears: it hangs, and is started again",
        "database or disk is full",
        "disk I/O error",
    ],
)
def test_a_lost_device_or_a_full_disk_is_told_in_korean(line: str) -> None:
    assert latin(told_in("ko", line)) == []
    assert told_in("en", line) == line


def test_names_and_paths_stay_as_they_are() -> None:
    line = "journal: cannot write /var/lib/voice/journal.db: database or disk is full"
    assert told_in("ko", line) == "기록: 적을 수 없어요: /var/lib/voice/journal.db: 디스크가 가득 찼어요"
    assert told_in("ko", "a library's own words") == "a library's own words"
