"""The heat equation against printed tables and worked handbook examples."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kitchend.doneness.conduction import (
    Shape,
    amplitudes,
    centre_ratio,
    eigenvalues,
    insulated_roots,
    one_term,
)

# Cengel, Heat and Mass Transfer, table 4-2. Rows from Bi = 20 on were worked out again, not read.
ONE_TERM = """
0.01 0.0998 1.0017 0.1412 1.0025 0.1730 1.0030
0.1  0.3111 1.0161 0.4417 1.0246 0.5423 1.0298
0.2  0.4328 1.0311 0.6170 1.0483 0.7593 1.0592
0.5  0.6533 1.0701 0.9408 1.1143 1.1656 1.1441
1    0.8603 1.1191 1.2558 1.2071 1.5708 1.2732
2    1.0769 1.1785 1.5995 1.3384 2.0288 1.4793
3    1.1925 1.2102 1.7887 1.4191 2.2889 1.6227
5    1.3138 1.2403 1.9898 1.5029 2.5704 1.7870
10   1.4289 1.2620 2.1795 1.5677 2.8363 1.9249
20   1.4961 1.2699 2.2880 1.5919 2.9857 1.9781
30   1.5202 1.2717 2.3261 1.5973 3.0372 1.9898
40   1.5325 1.2723 2.3455 1.5993 3.0632 1.9942
50   1.5400 1.2727 2.3572 1.6002 3.0788 1.9962
100  1.5552 1.2731 2.3809 1.6015 3.1102 1.9990
inf  1.5708 1.2732 2.4048 1.6020 3.1416 2.0000
"""
ROWS = [[float(cell) for cell in line.split()] for line in ONE_TERM.split("\n") if line]
PRINTED = 0.00016
"""The print is off by one in the fourth decimal at two places, and rounded."""


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"Bi={row[0]}")
def test_one_term_coefficients_are_those_of_the_printed_table(row: list[float]) -> None:
    for place, shape in enumerate(Shape):
        found = one_term(shape, row[0])
        assert found == pytest.approx(row[1 + 2 * place : 3 + 2 * place], abs=PRINTED)


@pytest.mark.parametrize("shape", Shape)
@pytest.mark.parametrize("biot", [row[0] for row in ROWS])
def test_one_term_is_within_two_percent_of_the_full_series_from_a_fifth_on(shape: Shape, biot: float) -> None:
    zeta, weight = one_term(shape, biot)
    for fourier in (0.2, 0.4, 1.0):
        whole = float(centre_ratio(shape, biot, fourier))
        assert weight * math.exp(-(zeta**2) * fourier) == pytest.approx(whole, rel=0.02)


@pytest.mark.parametrize("shape", Shape)
def test_every_root_is_found_once_and_in_order(shape: Shape) -> None:
    zeta = eigenvalues(shape, np.array([0.01, 1.0, 80.0]), 40)
    assert np.all(np.diff(zeta, axis=1) > 2.5)
    assert amplitudes(shape, zeta)[:2].sum(axis=1) == pytest.approx([1.0, 1.0], abs=0.02)


def test_steaks_in_a_freezer_take_as_long_as_the_handbook_says() -> None:
    # Cengel, problem 11-44: slab, L 1 cm, 25 to 2 C in air of -11 C, h 9, k 0.45: Bi 0.200, tau 5.085,
    # 93.1 min. The number asked about is the surface.
    biot = 9 * 0.01 / 0.45
    zeta, weight = one_term(Shape.SLAB, biot)
    assert (zeta, weight) == pytest.approx((0.4328, 1.0311), abs=PRINTED)
    ratio = (2 - -11) / (25 - -11)
    fourier = -math.log(ratio / (weight * math.cos(zeta))) / zeta**2
    assert fourier == pytest.approx(5.085, abs=0.005)
    assert fourier * 0.01**2 / 0.91e-7 / 60 == pytest.approx(93.1, abs=0.2)


# A sphere of 1.5 kg at 20 C in an oven of 163 C, h 18, k 0.5, rho 1000, c 4000 (Kreith, Principles of
# Heat Transfer): 134 min to 77 C in print; full series worked out again: minute and centre.
KREITH_RADIUS = (3 * 1.5 / (4 * math.pi * 1000)) ** (1 / 3)
KREITH_TD_S = KREITH_RADIUS**2 / (0.5 / (1000 * 4000))
KREITH_BI = 18 * KREITH_RADIUS / 0.5
KREITH = {
    15: 20.00,
    30: 20.53,
    45: 23.90,
    60: 30.71,
    75: 39.72,
    90: 49.64,
    105: 59.64,
    120: 69.27,
    135: 78.29,
    150: 86.60,
}


def test_the_roast_of_the_handbook_warms_minute_by_minute_as_its_series_says() -> None:
    minutes = np.array(list(KREITH), dtype=np.float64)
    ratio = centre_ratio(Shape.SPHERE, KREITH_BI, minutes * 60 / KREITH_TD_S)
    assert 163 + (20 - 163) * ratio == pytest.approx(list(KREITH.values()), abs=0.006)


def test_the_roast_of_the_handbook_is_done_when_it_says() -> None:
    zeta, weight = one_term(Shape.SPHERE, KREITH_BI)
    fourier = -math.log((77 - 163) / (20 - 163) / weight) / zeta**2
    assert pytest.approx(2.56, abs=0.005) == KREITH_BI
    assert fourier * KREITH_TD_S / 60 == pytest.approx(134.3, abs=0.1)
    assert 163 - 143 * float(centre_ratio(Shape.SPHERE, KREITH_BI, 132.79 * 60 / KREITH_TD_S)) == (
        pytest.approx(77.0, abs=0.01)
    )


# Full series, worked out again: the minute at which the centre passes each target.
KREITH_CROSSINGS = {55: 98.00, 60: 105.54, 63: 110.14, 70: 121.17, 71: 122.79, 74: 127.73, 77: 132.79}


@pytest.mark.parametrize(("celsius", "minute"), KREITH_CROSSINGS.items())
def test_the_roast_of_the_handbook_passes_every_target_at_its_minute(celsius: int, minute: float) -> None:
    centre = 163 - 143 * float(centre_ratio(Shape.SPHERE, KREITH_BI, minute * 60 / KREITH_TD_S))
    assert centre == pytest.approx(celsius, abs=0.01)


def test_the_roast_of_the_handbook_has_the_numbers_of_its_solution() -> None:
    # r 0.07101 m, Bi 2.5564, zeta 2.1889, C 1.5658, Fo 0.1997; r2 / (alpha zeta2) is 8420 s.
    zeta, weight = one_term(Shape.SPHERE, KREITH_BI)
    fourier = -math.log((77 - 163) / (20 - 163) / weight) / zeta**2
    found = (KREITH_RADIUS, KREITH_BI, zeta, weight, fourier)
    assert found == pytest.approx((0.07101, 2.5564, 2.1889, 1.5658, 0.1997), rel=2e-4)
    assert KREITH_TD_S / zeta**2 == pytest.approx(8420, abs=3)


@pytest.mark.parametrize("target", [95, 110, 120])
def test_once_heat_is_through_the_rest_is_a_logarithm(target: int) -> None:
    # For Fo above 0.2 remaining = tau ln((oven - T) / (oven - target)), tau = 8420 s.
    def centre(minute: float) -> float:
        return 163 - 143 * float(centre_ratio(Shape.SPHERE, KREITH_BI, minute * 60 / KREITH_TD_S))

    left_min = 8420 / 60 * math.log((163 - centre(150)) / (163 - target))
    assert centre(150 + left_min) == pytest.approx(target, abs=0.5)


# Roots of J1 and of tan z = z as printed in handbooks of functions; of the slab n pi.
@pytest.mark.parametrize(
    ("shape", "second", "third"),
    [(Shape.SLAB, 3.1416, 6.2832), (Shape.CYLINDER, 3.8317, 7.0156), (Shape.SPHERE, 4.4934, 7.7253)],
)
def test_an_insulated_piece_has_the_roots_of_no_exchange(shape: Shape, second: float, third: float) -> None:
    assert insulated_roots(shape, 3) == pytest.approx([0.0, second, third], abs=1e-4)


@pytest.mark.parametrize("biot", [-0.1, math.nan])
def test_a_biot_number_that_cannot_be_is_refused(biot: float) -> None:
    with pytest.raises(ValueError, match="Biot"):
        one_term(Shape.SPHERE, biot)


# Fixed surface, Bi infinite, in closed form (Carslaw and Jaeger, from memory): the slab's centre is
# 4/pi sum (-1)^n / (2n+1) exp(-(2n+1)^2 pi^2 Fo / 4), the sphere's 2 sum (-1)^(n+1) exp(-n^2 pi^2 Fo).
@pytest.mark.parametrize("fourier", [0.02, 0.1, 0.5])
def test_the_full_series_is_the_closed_form_for_a_fixed_surface(fourier: float) -> None:
    slab = sum(
        4 / math.pi * (-1) ** n / (2 * n + 1) * math.exp(-((2 * n + 1) ** 2) * math.pi**2 * fourier / 4)
        for n in range(40)
    )
    sphere = sum(2 * (-1) ** (n + 1) * math.exp(-(n**2) * math.pi**2 * fourier) for n in range(1, 40))
    assert float(centre_ratio(Shape.SLAB, math.inf, fourier)) == pytest.approx(slab, abs=1e-9)
    assert float(centre_ratio(Shape.SPHERE, math.inf, fourier)) == pytest.approx(sphere, abs=1e-9)
