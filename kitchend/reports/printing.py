"""How results are printed: JSON for programs, aligned columns for people. Knows nothing of what they mean."""

from __future__ import annotations

import json
from collections.abc import Sequence


def json_text(value: object) -> str:
    """The value as JSON, indented, letters of every language as they are."""
    return json.dumps(value, ensure_ascii=False, indent=2)


def print_json(value: object) -> None:
    """Print it on standard output."""
    print(json_text(value), flush=True)


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """The rows as lines with aligned columns, two spaces between."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
    return [line.rstrip() for line in lines]
