"""Mixes two files of additions, number by number: what lies between two ears of one beginning is an ear too.

PYTHONPATH=. .venv/bin/python -m tests.bench.hear.adapt.mixed FIRST SECOND --share 0.85 --out FILE
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray


def mixed(
    first: Mapping[str, Any], second: Mapping[str, Any], share: float
) -> dict[str, NDArray[np.float16]]:
    """All of them by name, float16; `share` is the second's. ValueError where their names differ."""
    if set(first) != set(second):
        raise ValueError("these additions are not of one kind: their names differ")
    parts = {
        name: (np.asarray(first[name], np.float32), np.asarray(second[name], np.float32)) for name in first
    }
    return {
        name: ((1 - share) * one + share * other).astype(np.float16) for name, (one, other) in parts.items()
    }


def main() -> None:
    """Read, mix and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("first", type=Path)
    parser.add_argument("second", type=Path)
    parser.add_argument("--share", type=float, required=True, help="the second's, 0 to 1")
    parser.add_argument("--out", type=Path, required=True)
    wish = parser.parse_args()
    with np.load(wish.first) as first, np.load(wish.second) as second:
        found: Any = mixed(dict(first), dict(second), wish.share)
    np.savez(wish.out, **found)


if __name__ == "__main__":
    main()
