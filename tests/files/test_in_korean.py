"""Every complaint about a Korean plan is Korean: the cases of `complaints.txt`, made Korean ones.

A file that is no YAML is complained of in Korean too, where a line of it names the language.
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
    assert [words for one in korean for words in one if words and not HANGUL.search(words)] == []


def test_they_are_many_and_most_can_be_read_as_yaml(tmp_path: Path) -> None:
    found = [name for name, contents in CASES.items() if told(tmp_path, contents) and is_yaml(tmp_path)]
    assert len(found) > 60


NO_YAML = {
    "a tab": "dishes:\n\t- dish: 밥\n",
    "a sign": "plan: @집\n",
    "a colon in a value": "plan: 저녁: 상\n",
    "a key without colon": "plan: 저녁\ndishes\n",
    "keys that do not line up": "dishes:\n    - dish: 밥\n   steps: []\n",
    "two documents": "plan: 저녁\n---\nplan: 점심\n",
    "an open quote": 'plan: "저녁\ndishes: []\n',
    "an open list": "dishes: [밥, 국\n",
    "an alias": "plan: &p 저녁\ndishes: *p\n",
    "a tag": "plan: !x 저녁\n",
    "deep": "dishes: " + "[" * 30,
    "many values": "a: b\n" * 6000,
    "a zero byte": "plan: \0\n",
    "an impossible escape": 'plan: "\\UFFFFFFFF"\n',
}


@pytest.mark.parametrize("contents", NO_YAML.values(), ids=NO_YAML)
@pytest.mark.parametrize("named", ["language: ko", "language: '한국어'  # 한국말"])
def test_what_is_no_yaml_is_complained_of_in_the_language_it_names(
    tmp_path: Path, contents: str, named: str
) -> None:
    found = told(tmp_path, f"{named}\n{contents}")
    assert len(found) == 1
    assert [words for words in found[0] if words is None or not HANGUL.search(words)] == []
    assert not any(HANGUL.search(words or "") for words in told(tmp_path, f"language: xx\n{contents}")[0])
