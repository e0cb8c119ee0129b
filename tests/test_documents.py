"""The two documents say what is so: the state diagram, the plan examples, what can be said, the commands."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from kitchend.core.steps import TRANSITIONS
from kitchend.service.settings import read_settings
from kitchend.service.taking import taking_of

ROOT = Path(__file__).parent.parent
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def diagram() -> str:
    """The state diagram as the transition table has it."""
    lines = ["stateDiagram-v2", "    [*] --> waiting"]
    for state, row in TRANSITIONS.items():
        lines += [f"    {state.value} --> {to.value}: {move.value}" for move, to in row.items()]
        if not row:
            lines.append(f"    {state.value} --> [*]")
    return "\n".join(lines)


def test_the_state_diagram_is_drawn_from_the_table() -> None:
    assert diagram() in DEVELOPERS


@pytest.mark.parametrize(
    "path",
    sorted(
        set(re.findall(r"`((?:kitchend|tests|core|hearing|speaking|service|files)/[\w/]+\.py)`", DEVELOPERS))
    ),
)
def test_every_file_the_guide_names_is_there(path: str) -> None:
    assert (ROOT / path).is_file() or (ROOT / "kitchend" / path).is_file()


def test_every_make_target_the_guide_names_is_in_the_makefile() -> None:
    makefile = (ROOT / "Makefile").read_text("utf-8")
    for target in set(re.findall(r"make (\w+)", DEVELOPERS)):
        assert re.search(rf"^[\w ]*\b{target}\b[\w ]*:", makefile, re.MULTILINE), target


@pytest.mark.parametrize("setting", ["sensors", "mqtt"])
def test_the_readme_shows_settings_that_can_be_read(tmp_path: Path, setting: str) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    (shown,) = re.findall(rf"```yaml\n({setting}:\n.*?)```", readme, re.DOTALL)
    path = tmp_path / "settings.yaml"
    path.write_text(shown)
    assert getattr(read_settings(path), setting)


def test_the_readme_shows_requests_that_are_some() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    (line,) = re.findall(r'^(\{"reading": \{.*?\}\})', readme, re.MULTILINE)
    assert taking_of(json.loads(line)["reading"], is_strict=True).of == "pork"
