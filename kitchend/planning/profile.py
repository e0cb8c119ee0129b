"""What is already taken, as blocks of time: facts that overlap more than there is room for are cut to it.

Pure arithmetic. Facts may break any rule (a cook can do what no plan would), and must never make the rest
of a dinner impossible to plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Block:
    """So many places or hands taken from `start_s` until `end_s`."""

    start_s: int
    end_s: int
    demand: int


def clamped(blocks: Sequence[Block], capacity: int) -> list[Block]:
    """The same demand over time as blocks that follow each other, nowhere above the capacity."""
    real = [block for block in blocks if block.end_s > block.start_s and block.demand > 0]
    marks = sorted({mark for block in real for mark in (block.start_s, block.end_s)})
    pieces = [Block(a, b, min(capacity, _demand(real, a))) for a, b in pairwise(marks)]
    return [piece for piece in pieces if piece.demand > 0]


def _demand(blocks: Sequence[Block], at_s: int) -> int:
    return sum(block.demand for block in blocks if block.start_s <= at_s < block.end_s)
