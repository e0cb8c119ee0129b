"""What check asks about though it can be cooked: early centrepieces, names, equipment.

The table is `doubts.txt` beside this file.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.files.kitchen import HEAD, cases, checked, warnings, with_step

CASES = cases("doubts.txt")


@pytest.mark.parametrize(("contents", "expected"), CASES.values(), ids=CASES)
def test_a_doubt_says_where_and_why(tmp_path: Path, contents: str, expected: list[str]) -> None:
    found = checked(tmp_path, contents)
    assert found.plan
    assert warnings(found) == expected


def test_equipment_that_no_step_uses_is_doubtful(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5 min", "on: hob"))
    assert [(warning.line, warning.field) for warning in found.warnings] == [(3, "equipment.oven")]


@pytest.mark.parametrize(
    "lines",
    [("takes: 5 min", "in: ovne at 200 C"), ("takes: 5 min", "on: hob, many")],
    ids=["misspelt", "miscounted"],
)
def test_equipment_is_not_called_unused_while_a_use_is_unreadable(
    tmp_path: Path, lines: tuple[str, ...]
) -> None:
    found = checked(tmp_path, with_step(*lines))
    assert found.problems
    assert found.warnings == ()


def test_doubts_come_beside_problems_in_one_run(tmp_path: Path) -> None:
    found = checked(tmp_path, HEAD + "      - step: add 2 eggs\n        hands: 1\n")
    assert len(found.problems) == 1
    assert len(warnings(found)) == 1
