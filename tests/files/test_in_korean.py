"""Every complaint about a Korean plan is Korean: the cases of `complaints.txt`, made Korean ones.

What YAML itself stumbles over is complained of in English, for then the language is not known.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kitchend.errors import PlanError
from kitchend.files.nodes import load_nodes
from tests.files.kitchen import cases, checked

HANGUL = re.compile("[가-힣]")
CASES = {
    name: contents
    for name, (contents, _) in cases("complaints.txt").items()
    if re.search("^plan:", contents, re.MULTILINE)
}


def told(folder: Path, contents: str) -> list[tuple[str, str | None]]:
    """Messages and hints about this plan."""
    found = checked(folder, contents)
    return [(one.message, one.hint) for one in (*found.problems, *found.warnings)]


def is_yaml(folder: Path) -> bool:
    """Whether the plan written last can be read as YAML."""
    try:
        load_nodes(folder / "plan.yaml")
    except PlanError:
        return False
    return True


@pytest.mark.parametrize("contents", CASES.values(), ids=CASES)
def test_each_complaint_about_a_korean_plan_is_korean(tmp_path: Path, contents: str) -> None:
    english = told(tmp_path, contents)
    korean = told(tmp_path, f"language: ko\n{contents}")
    assert len(korean) == len(english)
    if is_yaml(tmp_path):
        assert [words for one in korean for words in one if words and not HANGUL.search(words)] == []


def test_they_are_many_and_most_can_be_read_as_yaml(tmp_path: Path) -> None:
    found = [name for name, contents in CASES.items() if told(tmp_path, contents) and is_yaml(tmp_path)]
    assert len(found) > 60
