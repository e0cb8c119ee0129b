"""Every complaint about a plan: line, column, field, words and hint, and all of a file's in one run.

The table is `complaints.txt` beside this file.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.files.kitchen import HEAD, cases, checked, problems, with_step, with_steps

CASES = cases("complaints.txt")


@pytest.mark.parametrize(("contents", "expected"), CASES.values(), ids=CASES)
def test_each_complaint_names_place_field_and_hint(
    tmp_path: Path, contents: str, expected: list[str]
) -> None:
    found = checked(tmp_path, contents)
    assert found.plan is None
    assert problems(found) == expected


def _one_dish(name: str) -> str:
    return f"  - dish: {name}\n    steps:\n      - step: trim it\n        hands: 2 min\n"


TOO_MUCH = {
    "dishes": (
        "plan: x\ndishes:\n" + "".join(_one_dish(f"greens {'x' * k}") for k in range(41)),
        "3:3: dishes: more than 40 dishes (a plan is one dinner: split it)",
    ),
    "steps": (
        with_steps(*(f"trim {'x' * (k % 40)} {'y' * (k // 40)}; hands: 2 min" for k in range(201))),
        "6:3: dishes: more than 200 steps (a plan is one dinner: split it)",
    ),
    "equipment": (
        "plan: x\nequipment:\n"
        + "".join(f"  pot {'x' * k}:\n" for k in range(41))
        + "dishes:\n"
        + _one_dish("kale"),
        "3:3: equipment: more than 40 names (name what is shared)",
    ),
}


@pytest.mark.parametrize(("contents", "expected"), TOO_MUCH.values(), ids=TOO_MUCH)
def test_more_than_a_dinner_holds_is_refused(tmp_path: Path, contents: str, expected: str) -> None:
    assert problems(checked(tmp_path, contents)) == [expected]


def test_all_complaints_come_in_one_run_in_the_order_of_the_file(tmp_path: Path) -> None:
    contents = with_steps(
        "trim it; hands: 2; keeps: long",
        "boil it; takes: 9 min; on: hop",
        "stir it; during: boil them; at: 3 min; hands: 1 min",
        "serve it; hand: 2 min",
    )
    lines = [problem.line for problem in checked(tmp_path, "serve: late\n" + contents).problems]
    assert lines == [1, 10, 11, 14, 16, 19, 20]


def test_one_mistake_made_many_times_is_told_as_often(tmp_path: Path) -> None:
    """Looking for like words ends early, so that the complaints come at once; none is left out."""
    found = checked(
        tmp_path, with_step(*(f"taks{'x' * (k % 30)}{'z' * (k // 30)}: 5 min" for k in range(900)))
    )
    assert len(found.problems) == 901  # and that no time is given
    assert found.problems[1].hint == "did you mean takes?"
    assert found.problems[-1].hint == "check the spelling"


def test_a_head_alone_has_no_steps(tmp_path: Path) -> None:
    expected = "7:11: greens.steps: steps is a list, and not empty (start each with `- step: NAME`)"
    assert problems(checked(tmp_path, HEAD)) == [expected]
