"""Time at temperature as published: the Food Code's roast table, the UK's equivalents and their z values.

What readings are worth by them is worked out in `core/time_at_heat`, for a dinner goes by it. Never rounded
in the cook's favour. All this is guidance; local rules win.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from kitchend.core.time_at_heat import check_z, done_share, hold_s

LISTERIA_Z_C = 7.5
"""z recommended for Listeria monocytogenes: FSAI, An investigation of the most appropriate z-value, 2018."""
E_COLI_Z_C = 6.0
"""z for E. coli O157 in burgers: ACMSF, Report on the safe cooking of burgers, March 2007, section 3."""
UK_REFERENCE_C = 70.0
UK_HOLD_S = 120.0
"""Two minutes at 70 C: Food Standards Agency; both z values meet there."""

UK_HOLDS_C: tuple[tuple[float, int], ...] = ((60.0, 2700), (65.0, 600), (70.0, 120), (75.0, 30), (80.0, 6))
"""Degrees C and seconds, UK Food Standards Agency: the curve of z = 7.5 C, rounded up."""
UK_BURGER_HOLDS_C: tuple[tuple[float, int], ...] = ((60.0, 93 * 60), (65.0, 818), (70.0, 120), (75.0, 18))
"""The same for burgers, z = 6 C: ACMSF, March 2007 (13.6 minutes at 65 C is 13.63 by the formula)."""

FOOD_CODE_ROAST_S: tuple[tuple[int, int], ...] = (
    (130, 112 * 60),
    (131, 89 * 60),
    (133, 56 * 60),
    (135, 36 * 60),
    (136, 28 * 60),
    (138, 18 * 60),
    (140, 12 * 60),
    (142, 8 * 60),
    (144, 5 * 60),
    (145, 4 * 60),
    (147, 134),
    (149, 85),
    (151, 54),
    (153, 34),
    (155, 22),
    (157, 14),
    (158, 0),
)
"""Degrees F and seconds, FDA Food Code 3-401.11(B)(2), whole meat roasts; the same in 18 AAC 31.232 Table D.
The footnote lets the heat of resting count."""
FOOD_CODE_ROAST_C = tuple(((degrees - 32) / 1.8, seconds) for degrees, seconds in FOOD_CODE_ROAST_S)
"""The same in degrees Celsius, unrounded."""
FOOD_CODE_MINCED_S: tuple[tuple[int, int], ...] = ((145, 180), (150, 60), (155, 17), (158, 1))
"""Degrees F and seconds, FDA Food Code 3-401.11(A)(2), minced and injected meat; 158 F is "below one second",
kept here as one."""
FOOD_CODE_MINCED_C = tuple(((degrees - 32) / 1.8, seconds) for degrees, seconds in FOOD_CODE_MINCED_S)
"""The same in degrees Celsius, unrounded."""


def hold_needed_s(temp_c: float, *, reference_c: float, hold_s: float, z_c: float) -> float:
    """Seconds at `temp_c` worth as much as `hold_s` at the reference: t = hold 10^((reference - T) / z).

    ValueError for temperatures that are no finite numbers, a hold below zero, and a z that is not above zero.
    """
    check_z(z_c)
    if not (math.isfinite(temp_c) and math.isfinite(reference_c) and 0 <= hold_s < math.inf):
        raise ValueError(f"a hold of {hold_s} s at {reference_c} C for {temp_c} C: finite numbers are needed")
    return hold_s * math.pow(10.0, (reference_c - temp_c) / z_c)


def uk_hold_s(temp_c: float, z_c: float = LISTERIA_Z_C) -> float:
    """Seconds at this core temperature equivalent to two minutes at 70 C."""
    return hold_needed_s(temp_c, reference_c=UK_REFERENCE_C, hold_s=UK_HOLD_S, z_c=z_c)


def roast_hold_s(temp_c: float) -> int | None:
    """Whole seconds a roast at `temp_c` C is to be held by the Food Code's table.

    None below its first row, 130 F; ValueError for what is no number.
    """
    return hold_s(FOOD_CODE_ROAST_C, temp_c)


def roast_done_share(times_s: Sequence[float], temps_c: Sequence[float]) -> float:
    """How much of the Food Code's roast hold has been done: 1 or more when it is complete.

    Nothing is rounded in the cook's favour (see `time_at_heat`); a reading of 158 F completes it. Time below
    130 F does not count.
    """
    return done_share(FOOD_CODE_ROAST_C, times_s, temps_c)
