"""Time at temperature: how long to hold by a published table, and what a run of readings is worth as a hold.

A table is rows of degrees Celsius, rising, and whole seconds. Between rows the logarithm of the time is a
straight line, rounded up. Where a z value is published, one integrator serves every rule: each moment counts
10^((T - reference) / z), between readings along a straight line, across a long gap by the lower end, because
what was not seen is not counted. Never in the cook's favour. Guidance; local rules win.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Holds = Sequence[tuple[float, int]]

LONGEST_GAP_S = 300.0
"""Readings further apart than this are not joined by a line; common practice is to look every few minutes."""

_FRACTION_C = 1e-6
"""Fahrenheit as Celsius is seldom a whole number: so much is an artefact of binary fractions."""


def hold_s(table: Holds, celsius: float) -> int | None:
    """Whole seconds to hold at this core temperature; None below the table's first row.

    ValueError for what is no number. Where the next row needs no time at all it has no logarithm: the row
    below holds until it is reached.
    """
    if math.isnan(celsius):
        raise ValueError("a hold needs a temperature that is a number")
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
    not count. One reading that needs no hold completes it. ValueError as `equivalent_hold_s`.
    """
    _check(times_s, temps_c)
    share = 1.0 if any(hold_s(table, temp) == 0 for temp in temps_c) else 0.0
    for index in range(1, len(times_s)):
        hold = hold_s(table, min(temps_c[index - 1], temps_c[index]))
        if hold:
            share += (times_s[index] - times_s[index - 1]) / hold
    return share


def equivalent_hold_s(
    times_s: Sequence[float], temps_c: Sequence[float], *, reference_c: float, z_c: float
) -> float:
    """Seconds at `reference_c` that a run of readings is worth.

    The exact integral of 10^((T - reference) / z) along straight lines between readings. ValueError unless
    times (seconds) rise, both sequences are of one length and of finite numbers, and z is above zero.
    """
    _check(times_s, temps_c)
    check_z(z_c)
    total = 0.0
    for index in range(1, len(times_s)):
        span = times_s[index] - times_s[index - 1]
        total += span * _mean_rate(temps_c[index - 1], temps_c[index], span, reference_c, z_c)
    return total


def check_z(z_c: float) -> None:
    """ValueError for a z that is none."""
    if not (math.isfinite(z_c) and z_c > 0):
        raise ValueError(f"a z of {z_c} C: it is a finite number above zero")


def _check(times_s: Sequence[float], temps_c: Sequence[float]) -> None:
    if len(times_s) != len(temps_c):
        raise ValueError(f"{len(times_s)} times for {len(temps_c)} temperatures")
    if not all(map(math.isfinite, (*times_s, *temps_c))):
        raise ValueError("readings need finite times and temperatures")
    back = next((place for place in range(1, len(times_s)) if times_s[place] < times_s[place - 1]), None)
    if back is not None:
        raise ValueError(f"times go back at place {back}")


def _mean_rate(first_c: float, second_c: float, span_s: float, reference_c: float, z_c: float) -> float:
    low = math.pow(10.0, (min(first_c, second_c) - reference_c) / z_c)
    if span_s > LONGEST_GAP_S:
        return low
    decades = abs(second_c - first_c) / z_c * math.log(10.0)
    return low if decades < 1e-9 else low * math.expm1(decades) / decades
