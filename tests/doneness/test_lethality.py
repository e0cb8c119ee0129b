"""Time at temperature against the published tables of the Food Code and of the UK."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.time_at_heat import equivalent_hold_s
from kitchend.doneness.lethality import (
    E_COLI_Z_C,
    FOOD_CODE_ROAST_S,
    LISTERIA_Z_C,
    roast_done_share,
    roast_hold_s,
    uk_hold_s,
)

# FDA Food Code 3-401.11(B)(2) in both scales; 18 AAC 31.232 Table D prints the same.
PRINTED_C = [
    54.4,
    55.0,
    56.1,
    57.2,
    57.8,
    58.9,
    60.0,
    61.1,
    62.2,
    62.8,
    63.9,
    65.0,
    66.1,
    67.2,
    68.3,
    69.4,
    70.0,
]
PRINTED_S = [6720, 5340, 3360, 2160, 1680, 1080, 720, 480, 300, 240, 134, 85, 54, 34, 22, 14, 0]


def celsius(degrees_f: float) -> float:
    return (degrees_f - 32) / 1.8


def test_the_roast_table_is_as_printed_in_both_scales() -> None:
    assert [round(celsius(row), 1) for row, _ in FOOD_CODE_ROAST_S] == PRINTED_C
    assert [roast_hold_s(celsius(row)) for row, _ in FOOD_CODE_ROAST_S] == PRINTED_S


def test_the_roast_table_is_a_straight_line_in_the_logarithm() -> None:
    degrees, holds = np.array(FOOD_CODE_ROAST_S[:-1], dtype=float).T
    slope, start = np.polyfit(degrees, np.log10(holds), 1)
    assert -1 / slope == pytest.approx(10.05, abs=0.02)
    assert np.abs(holds / 10 ** (slope * degrees + start) - 1).max() < 0.096


@given(st.floats(min_value=130, max_value=157))
def test_a_hold_between_rows_is_never_rounded_down(degrees_f: float) -> None:
    hold = roast_hold_s(celsius(degrees_f))
    degrees, holds = zip(*FOOD_CODE_ROAST_S[:-1], strict=True)
    exact = math.exp(np.interp(degrees_f, degrees, np.log(holds)))
    assert hold is not None
    assert exact - 1e-3 <= hold <= exact + 1


def test_below_the_first_row_there_is_no_hold_and_between_the_last_two_no_shortcut() -> None:
    assert roast_hold_s(celsius(129.9)) is None
    assert roast_hold_s(celsius(157.9)) == 14
    assert roast_hold_s(80.0) == 0


# Food Standards Agency (z = 7.5, its row is the formula rounded up); ACMSF,
# safe cooking of burgers, 2007 (z = 6).
@pytest.mark.parametrize(
    ("z", "at_c", "formula_s", "printed_s"),
    [
        (LISTERIA_Z_C, 60, 43.1 * 60, 45 * 60),
        (LISTERIA_Z_C, 65, 9.28 * 60, 600),
        (LISTERIA_Z_C, 70, 120, 120),
        (LISTERIA_Z_C, 75, 25.9, 30),
        (LISTERIA_Z_C, 80, 5.6, 6),
        (E_COLI_Z_C, 60, 92.8 * 60, 93 * 60),
        (E_COLI_Z_C, 65, 13.63 * 60, 13.6 * 60),
        (E_COLI_Z_C, 70, 120, 120),
        (E_COLI_Z_C, 75, 17.6, 18),
        (E_COLI_Z_C, 80, 2.6, 2.6),
    ],
)
def test_one_integrator_gives_the_uk_equivalents(
    z: float, at_c: float, formula_s: float, printed_s: float
) -> None:
    hold = uk_hold_s(at_c, z)
    assert hold == pytest.approx(formula_s, rel=0.01)
    assert hold <= printed_s * 1.003
    moments = np.linspace(0, hold, 200).tolist()
    worth = equivalent_hold_s(moments, [at_c] * 200, reference_c=70, z_c=z)
    assert worth == pytest.approx(120, rel=1e-6)


def test_a_straight_rise_is_integrated_exactly() -> None:
    fine = np.linspace(0, 200, 20001)
    summed = float(np.trapezoid(10 ** ((55 + fine / 20 - 70) / 7.5), fine))
    assert equivalent_hold_s([0, 200], [55, 65], reference_c=70, z_c=7.5) == pytest.approx(summed, rel=1e-6)


def test_what_was_not_seen_counts_at_its_lower_end() -> None:
    assert equivalent_hold_s([0, 600], [40, 70], reference_c=70, z_c=7.5) == pytest.approx(600 * 1e-4)


def test_a_roast_kept_at_a_row_for_its_time_is_done_and_not_before() -> None:
    moments = list(range(0, 721, 10))
    assert roast_done_share(moments, [60.0] * len(moments)) == pytest.approx(1.0)
    assert roast_done_share(moments[:-1], [60.0] * (len(moments) - 1)) < 1
    assert roast_done_share([0, 5], [69.0, 70.5]) >= 1
    assert roast_done_share([0, 9000], [50.0, 52.0]) == 0


def test_times_that_go_back_or_do_not_pair_are_refused() -> None:
    with pytest.raises(ValueError, match="go back"):
        equivalent_hold_s([0, 9, 5], [60, 60, 60], reference_c=70, z_c=6)
    with pytest.raises(ValueError, match="2 times for 1"):
        equivalent_hold_s([0, 9], [60], reference_c=70, z_c=6)
