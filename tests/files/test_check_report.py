"""What `kitchend check` shows: lines for people, and the JSON that other programs rely on."""

from __future__ import annotations

import json
from pathlib import Path

from kitchend.errors import Problem
from kitchend.files.plan_yaml import check_plan
from kitchend.reports.check import check_json, check_text
from tests.files.kitchen import checked, with_step

KEYS = ["file", "line", "column", "field", "message", "hint"]


def test_the_json_of_a_good_plan_is_ok(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5 min", "on: [hob, oven at 180 C]"))
    assert check_json([found]) == {"ok": True, "problems": [], "warnings": []}


def test_the_json_of_several_files_holds_all_they_have(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5", "in: oven at 180 C"))
    missing = check_plan(tmp_path / "none")
    shown = json.loads(json.dumps(check_json([found, missing])))
    assert shown["ok"] is False
    assert [list(problem) for problem in shown["problems"]] == [KEYS, KEYS]
    assert shown["problems"][0] == {
        "file": str(tmp_path / "plan.yaml"),
        "line": 9,
        "column": 16,
        "field": "greens.steam the greens.takes",
        "message": "5 has no unit",
        "hint": "say 5 min or 5 h",
    }
    assert shown["problems"][1]["line"] is None
    assert [list(warning) for warning in shown["warnings"]] == [KEYS]


def test_a_doubt_alone_is_still_ok(tmp_path: Path) -> None:
    shown = check_json([checked(tmp_path, with_step("hands: 5 min"))])
    assert shown["ok"] is True
    assert shown["warnings"]


def test_the_text_has_a_line_a_file_and_a_line_a_complaint(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5", "in: oven at 180 C"))
    assert check_text([found, check_plan(tmp_path)]).splitlines() == [
        f"{found.file}: 1 problem, 1 doubt",
        f"  wrong: {found.file}:9:16: greens.steam the greens.takes: 5 has no unit (say 5 min or 5 h)",
        (
            f"  doubtful: {found.file}:4:3: equipment.hob: no step uses the hob "
            "(take it out, or say in: or on: it)"
        ),
        f"{tmp_path}: 1 problem",
        f"  wrong: {tmp_path}: this is a directory, not a plan (name a .yaml file in it)",
    ]


def test_a_good_plan_is_called_fine(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5 min", "on: [hob, oven at 180 C]"))
    assert check_text([found]) == f"{found.file}: Test supper, 1 dish, 1 step: fine"


def test_warnings_of_others_stand_beside_the_reader_s_own(tmp_path: Path) -> None:
    found = checked(tmp_path, with_step("takes: 5 min", "on: [hob, oven at 180 C]"))
    heard = Problem(file=found.file, field="greens", message="kale is not in the dictionary")
    elsewhere = Problem(file="other.yaml", message="not of this file")
    assert check_text([found], [heard, elsewhere]).splitlines() == [
        f"{found.file}: Test supper, 1 dish, 1 step: 1 doubt",
        f"  doubtful: {found.file}: greens: kale is not in the dictionary",
    ]
    assert len(check_json([found], [heard, heard])["warnings"]) == 1  # type: ignore[arg-type]  # a list, by its shape
