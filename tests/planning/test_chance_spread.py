"""How long an uncertain step may take: its range is where it says, and what is certain has no spread."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

from kitchend.core.plan import Step
from kitchend.planning.chance_spread import Spread, spread_of
from tests.planning.dinners import MIN, step


def spread(of: Step) -> Spread:
    found = spread_of(of)
    assert found is not None
    return found


def below(one: Spread, length_s: float) -> float:
    """The share of dinners in which it takes less, by the standard library's normal distribution."""
    return NormalDist().cdf(one.z_of(length_s))


def test_a_plain_range_holds_nine_in_ten() -> None:
    one = spread(step("braise the leeks", (20 * MIN, 30 * MIN)))
    assert below(one, 20 * MIN) == pytest.approx(0.05)
    assert below(one, 30 * MIN) == pytest.approx(0.95)


def test_a_range_before_a_reading_holds_eight_in_ten() -> None:
    one = spread(step("roast the duck", (70 * MIN, 85 * MIN), until=74))
    assert below(one, 70 * MIN) == pytest.approx(0.10)
    assert below(one, 85 * MIN) == pytest.approx(0.90)


def test_one_time_before_a_reading_is_a_guess_within_a_tenth() -> None:
    one = spread(step("roast the duck", 60 * MIN, until=74))
    assert one.middle_s == pytest.approx(60 * MIN)
    assert below(one, 66 * MIN) == pytest.approx(0.90)


def test_it_is_skewed_to_the_late_side() -> None:
    one = spread(step("roast the duck", (70 * MIN, 130 * MIN), until=74))
    assert one.at(1.5) - one.middle_s > one.middle_s - one.at(-1.5)


def test_numpy_draws_the_same_lengths() -> None:
    """numpy.random.Generator.lognormal with mean log(middle) and this sigma is the same distribution."""
    one = spread(step("roast the duck", (70 * MIN, 85 * MIN), until=74))
    drawn = np.random.default_rng(3).lognormal(np.log(one.middle_s), one.sigma, 200_000)
    assert np.quantile(drawn, [0.1, 0.5, 0.9]) == pytest.approx([70 * MIN, one.middle_s, 85 * MIN], rel=0.003)


CERTAIN = {
    "one time": step("boil the rice", 12 * MIN),
    "hands only": step("carve the duck", hands=6 * MIN),
    "a reminder": step("turn the duck", hands=MIN, during="roast the duck", at=9 * MIN),
    "no time": step("lay the table", 0),
}


@pytest.mark.parametrize("of", CERTAIN.values(), ids=CERTAIN)
def test_what_is_certain_has_no_spread(of: Step) -> None:
    assert spread_of(of) is None
