"""What published guidance makes doubtful in a plan, each doubt with its place and its source.

The table is `safety_doubts.txt` in `tests/files`; its figures are of the default guidance, USDA FSIS. What other
jurisdictions say of one plan is compared here. The sources of the figures stand in `kitchend/doneness`, and the
checks against them in `tests/doneness`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.reports.safety_doubts import safety_doubts
from tests.files.kitchen import cases, checked, with_step, with_steps

CASES = cases("safety_doubts.txt")
FSIS = Jurisdiction.US_FSIS


def doubts(folder: Path, contents: str, who: Jurisdiction = FSIS) -> list[str]:
    found = checked(folder, contents)
    shown = (str(doubt) for doubt in safety_doubts(found, rules_for(who)))
    return [doubt.removeprefix(f"{found.file}:") for doubt in shown]


@pytest.mark.parametrize(("contents", "expected"), CASES.values(), ids=CASES)
def test_a_doubt_says_where_what_and_by_whom(tmp_path: Path, contents: str, expected: list[str]) -> None:
    assert doubts(tmp_path, contents) == expected
