"""What a plan says of the piece whose core ends a step, and of where its number holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.plan import Piece, Shape, Step
from kitchend.core.quantities import Temperature
from kitchend.files.plan_yaml import read_plan


def roast(folder: Path, *facts: str) -> Step:
    lines = "".join(f"        {fact}\n" for fact in facts)
    path = folder / "plan.yaml"
    path.write_text(
        f"plan: Mill house\ndishes:\n  - dish: goose\n    steps:\n      - step: roast the goose\n"
        f"        takes: 2 h\n{lines}",
        encoding="utf-8",
    )
    return read_plan(path).steps[0]


@pytest.mark.parametrize(
    ("text", "is_for_table"),
    [
        ("74 C", False),
        ("74 C inside", False),
        ("74 C at the table", True),
        ("74 C inside at the table", True),
        ("74 C At The Table", True),
    ],
)
def test_a_number_may_be_for_the_table(tmp_path: Path, text: str, is_for_table: bool) -> None:
    step = roast(tmp_path, f"until: {text}")
    assert step.until == Temperature(degrees=74)
    assert step.is_for_table is is_for_table


def test_a_piece_has_a_weight_a_thickness_and_a_shape(tmp_path: Path) -> None:
    step = roast(tmp_path, "until: 74 C", "weight: 4 kg", "thickness: 14 cm", "shape: round")
    assert step.piece == Piece(weight_kg=4.0, thickness_m=0.14, shape=Shape.ROUND)


def test_none_of_it_is_needed(tmp_path: Path) -> None:
    assert roast(tmp_path, "until: 74 C").piece == Piece()
