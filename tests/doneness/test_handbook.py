"""Examples as handbooks of heat transfer and of food set them, each worked out a second way beside it.

The second way is none of the package's: roots of the defining equations found by scipy and summed here, a
finite-volume solution in space and time, or closed forms (Carslaw and Jaeger, from memory). Of no example is
the answer copied from the package. Where a printed answer was read it is in `test_conduction`.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import erfc, j0, j1

from kitchend.core.time_at_heat import equivalent_hold_s
from kitchend.doneness.conduction import Shape, amplitudes, centre_ratio, fourier_for, one_term, ratio_at
from kitchend.doneness.lethality import hold_needed_s, roast_hold_s, uk_hold_s

EQUATIONS: dict[Shape, Callable[[float, float], float]] = {
    Shape.SLAB: lambda z, bi: z * math.sin(z) - bi * math.cos(z),
    Shape.CYLINDER: lambda z, bi: z * j1(z) - bi * j0(z),
    Shape.SPHERE: lambda z, bi: (1 - bi) * math.sin(z) - z * math.cos(z),
}
PATTERNS: dict[Shape, Callable[[float], float]] = {
    Shape.SLAB: math.cos,
    Shape.CYLINDER: lambda x: float(j0(x)),
    Shape.SPHERE: lambda x: math.sin(x) / x if x else 1.0,
}


def roots(shape: Shape, biot: float, count: int) -> list[float]:
    """By walking up in steps too short for two, and brentq where the sign turns."""
    found: list[float] = []
    low = 1e-9
    while len(found) < count:
        high = low + 0.05
        if EQUATIONS[shape](low, biot) * EQUATIONS[shape](high, biot) < 0:
            found.append(float(brentq(EQUATIONS[shape], low, high, args=(biot,), xtol=1e-13)))
        low = high
    return found


def summed(shape: Shape, biot: float, fourier: float, place: float) -> float:
    """The series with its coefficients by integrating the starting temperature against each pattern."""
    power = list(Shape).index(shape)
    pattern = PATTERNS[shape]
    total = 0.0
    for zeta in roots(shape, biot, 24):
        top = quad(lambda x, z=zeta: x**power * pattern(z * x), 0, 1, limit=200)[0]
        below = quad(lambda x, z=zeta: x**power * pattern(z * x) ** 2, 0, 1, limit=200)[0]
        total += top / below * pattern(zeta * place) * math.exp(-(zeta**2) * fourier)
    return total


def by_shells(shape: Shape, biot: float, fourier: float, shells: int = 160) -> float:
    """The centre by finite volumes, implicit in time: no series at all."""
    power = list(Shape).index(shape)
    edges = np.linspace(0, 1, shells + 1)
    volume = (edges[1:] ** (power + 1) - edges[:-1] ** (power + 1)) / (power + 1)
    face = edges[1:-1] ** power * shells
    skin = 1.0 / (0.5 / shells + 1.0 / biot)
    matrix = np.zeros((shells, shells))
    for place, flow in enumerate(face):
        matrix[place, place] -= flow
        matrix[place, place + 1] += flow
        matrix[place + 1, place + 1] -= flow
        matrix[place + 1, place] += flow
    matrix[-1, -1] -= skin
    matrix /= volume[:, np.newaxis]
    steps = 400
    half = 0.5 * fourier / steps * matrix
    step = np.linalg.solve(np.eye(shells) - half, np.eye(shells) + half)
    ratio = np.linalg.matrix_power(step, steps) @ np.ones(shells)
    return float(ratio[0])


CASES = [(shape, biot) for shape in Shape for biot in (0.05, 0.7, 4.0, 25.0)]


@pytest.mark.parametrize(("shape", "biot"), CASES)
def test_the_series_is_the_one_whose_roots_and_weights_are_found_apart(shape: Shape, biot: float) -> None:
    for fourier, place in ((0.05, 0.0), (0.15, 0.5), (0.4, 1.0), (1.2, 0.0)):
        assert float(ratio_at(shape, biot, fourier, place)) == pytest.approx(
            summed(shape, biot, fourier, place), abs=2e-6
        )


@pytest.mark.parametrize(("shape", "biot"), CASES)
def test_the_centre_is_that_of_finite_volumes(shape: Shape, biot: float) -> None:
    for fourier in (0.1, 0.35, 1.0):
        assert float(centre_ratio(shape, biot, fourier)) == pytest.approx(
            by_shells(shape, biot, fourier), abs=4e-4
        )


@pytest.mark.parametrize("shape", list(Shape))
def test_hardly_any_resistance_inside_is_the_lumped_body(shape: Shape) -> None:
    # With Bi far below 0.1 the whole body follows exp(-h A t / (rho c V)): exp(-(power + 1) Bi Fo).
    sides = list(Shape).index(shape) + 1
    for fourier in (50.0, 200.0):
        assert float(centre_ratio(shape, 1e-3, fourier)) == pytest.approx(
            math.exp(-sides * 1e-3 * fourier), rel=2e-3
        )


def test_near_its_face_a_thick_slab_is_a_half_space() -> None:
    # A face of fixed temperature: (T - surround) / (start - surround) = erf(x / (2 sqrt(alpha t))).
    for depth in (0.05, 0.1, 0.2):
        whole = 1 - erfc(depth / (2 * math.sqrt(0.005)))
        assert float(ratio_at(Shape.SLAB, math.inf, 0.005, 1 - depth, 200)) == pytest.approx(whole, abs=1e-6)


# Own calculation: an egg as a sphere of 5 cm, 5 C, in water of 95 C with h 1200, k 0.6; its middle to 70 C.
def test_an_egg_in_hot_water() -> None:
    biot = 1200 * 0.025 / 0.6
    fourier = fourier_for(Shape.SPHERE, biot, (70 - 95) / (5 - 95))
    apart = brentq(lambda fo: summed(Shape.SPHERE, biot, fo, 0.0) - 25 / 90, 0.05, 0.6)
    assert fourier == pytest.approx(apart, rel=1e-5)


# Own calculation: a sausage of 3 cm as a long cylinder, 8 C, in an oven of 200 C, h 25, k 0.45, to 72 C.
def test_a_sausage_in_an_oven() -> None:
    biot = 25 * 0.015 / 0.45
    fourier = fourier_for(Shape.CYLINDER, biot, (72 - 200) / (8 - 200))
    assert by_shells(Shape.CYLINDER, biot, fourier) == pytest.approx(128 / 192, abs=4e-4)


# Own calculation: a steak of 3 cm from 6 C between two heats of 160 C, h 60, k 0.45, to 54 C in the middle.
def test_a_steak_between_two_heats() -> None:
    biot = 60 * 0.015 / 0.45
    fourier = fourier_for(Shape.SLAB, biot, (54 - 160) / (6 - 160))
    assert summed(Shape.SLAB, biot, fourier, 0.0) == pytest.approx(106 / 154, abs=1e-5)


# Sterilising a can by the one-term solution: Fo above 0.2 the first term alone says the same time within 1 %.
@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("biot", [0.3, 2.0, 40.0])
def test_the_first_term_gives_the_time_once_heat_is_through(shape: Shape, biot: float) -> None:
    zeta, weight = one_term(shape, biot)
    ratio = 0.8 * weight * math.exp(-0.2 * zeta**2)
    by_hand = -math.log(ratio / weight) / zeta**2
    assert fourier_for(shape, biot, ratio, terms=1) == pytest.approx(by_hand, rel=1e-9)
    assert fourier_for(shape, biot, ratio) == pytest.approx(by_hand, rel=0.01)


def test_a_piece_that_lets_nothing_in_stays_as_it_was() -> None:
    for shape in Shape:
        assert float(centre_ratio(shape, 0.0, 3.0)) == pytest.approx(1.0, abs=1e-9)
        assert amplitudes(shape, np.array([0.0])) == pytest.approx([1.0])
        with pytest.raises(ValueError, match="never come to"):
            fourier_for(shape, 0.0, 0.5)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: centre_ratio(Shape.SLAB, -1.0, 0.3), "Biot"),
        (lambda: centre_ratio(Shape.SLAB, 1.0, -0.3), "Fourier"),
        (lambda: centre_ratio(Shape.SLAB, 1.0, math.nan), "Fourier"),
        (lambda: ratio_at(Shape.SLAB, 1.0, 0.3, 1.2), "place"),
        (lambda: centre_ratio(Shape.SLAB, 1.0, 0.3, 0), "0 terms"),
        (lambda: fourier_for(Shape.SLAB, 1.0, 1.0), "ratio"),
        (lambda: one_term("cube", 1.0), "cube"),  # type: ignore[arg-type]  # a word that is no shape
        (lambda: hold_needed_s(60, reference_c=70, hold_s=120, z_c=0), "z of 0"),
        (lambda: hold_needed_s(math.nan, reference_c=70, hold_s=120, z_c=7.5), "finite"),
        (lambda: roast_hold_s(math.nan), "number"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(ask: Callable[[], object], says: str) -> None:
    with pytest.raises(ValueError, match=says) as refused:
        ask()
    assert "\n" not in str(refused.value)


def test_a_word_may_stand_for_a_shape() -> None:
    assert one_term("sphere", 1.0) == pytest.approx((math.pi / 2, 4 / math.pi))  # type: ignore[arg-type]


# Ball's process lethality: 10 minutes at 121.1 C and z 10 C are 100 minutes at 111.1 C (textbook identity);
# pasteurisation units of beer, 60 C and z 7 C: one minute at 67 C is ten (common practice).
@pytest.mark.parametrize(
    ("at_c", "reference_c", "z_c", "minutes", "worth"),
    [(111.1, 121.1, 10.0, 100.0, 10.0), (67.0, 60.0, 7.0, 1.0, 10.0), (70.0, 70.0, 7.5, 2.0, 2.0)],
)
def test_lethality_has_any_reference_and_any_z(
    at_c: float, reference_c: float, z_c: float, minutes: float, worth: float
) -> None:
    moments = np.linspace(0.0, minutes * 60, 601).tolist()
    found = equivalent_hold_s(moments, [at_c] * 601, reference_c=reference_c, z_c=z_c)
    assert found / 60 == pytest.approx(worth, rel=1e-9)
    assert hold_needed_s(at_c, reference_c=reference_c, hold_s=worth * 60, z_c=z_c) == pytest.approx(
        minutes * 60
    )


def test_a_heating_curve_is_worth_its_integral() -> None:
    # Own calculation: quad over a core that rises as 80 - 60 exp(-t / 1200 s), read every ten seconds.
    def core(at_s: float) -> float:
        return 80 - 60 * math.exp(-at_s / 1200)

    moments = [10.0 * step for step in range(361)]
    whole = quad(lambda at: 10 ** ((core(at) - 70) / 7.5), 0, 3600, limit=400)[0]
    found = equivalent_hold_s(moments, [core(at) for at in moments], reference_c=70, z_c=7.5)
    assert found == pytest.approx(whole, rel=1e-3)
    assert uk_hold_s(72.5) == pytest.approx(120 * 10 ** (-1 / 3))
