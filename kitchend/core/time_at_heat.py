"""Time at temperature by a published table: how long to hold, and how much of that readings show.

A table is rows of degrees Celsius, rising, and whole seconds. Between rows the logarithm of the time is a
straight line, rounded up: never in the cook's favour. Guidance; local rules win.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Holds = Sequence[tuple[float, int]]

_FRACTION_C = 1e-6
"""Fahrenheit as Celsius is seldom a whole number: so much is an artefact of binary fractions."""


def hold_s(table: Holds, celsius: float) -> int | None:
    """Whole seconds to hold at this core temperature; None below the table's first row.

    Where the next row needs no time at all it has no logarithm: the row below holds until it is reached.
    """
    reached = [place for place, (row, _) in enumerate(table) if row <= celsius + _FRACTION_C]
    if not reached:
        return None
    low_c, low_s = table[reached[-1]]
    if reached[-1] == len(table) - 1 or celsius - low_c <= _FRACTION_C:
        return low_s
    high_c, high_s = table[reached[-1] + 1]
    if high_s == 0:
        return low_s
    part = (celsius - low_c) / (high_c - low_c)
    return math.ceil(low_s * math.pow(high_s / low_s, part) - 1e-9)


def done_share(table: Holds, times_s: Sequence[float], temps_c: Sequence[float]) -> float:
    """How much of the hold has been done: 1 or more when it is complete.

    Each stretch between readings counts its time over the hold at its lower end; what is below the table does
    not count. One reading that needs no hold completes it.
    """
    share = 1.0 if any(hold_s(table, temp) == 0 for temp in temps_c) else 0.0
    for index in range(1, min(len(times_s), len(temps_c))):
        hold = hold_s(table, min(temps_c[index - 1], temps_c[index]))
        if hold:
            share += (times_s[index] - times_s[index - 1]) / hold
    return share
