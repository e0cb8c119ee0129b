"""The core of a made-up roast rises as conduction has it, stretched to the world's own time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from kitchend.core.plan import EquipmentId, Piece, Shape, Use
from kitchend.core.quantities import Temperature
from kitchend.rehearsal.cores import curves_of
from kitchend.rehearsal.world import FRIDGE_C
from tests.rehearsal.test_world import KREITH, ROAST, TRIM

OVEN = Use(equipment=EquipmentId("oven"), at=Temperature(degrees=163))
BALL = replace(ROAST, uses=(OVEN,), piece=Piece(weight_kg=1.5, shape=Shape.ROUND))


@pytest.mark.parametrize("shape", [None, *Shape])
@pytest.mark.parametrize("oven_c", [110, 163, 220])
def test_it_begins_in_the_fridge_lags_rises_and_is_there_on_time(shape: Shape | None, oven_c: int) -> None:
    use = replace(OVEN, at=Temperature(degrees=oven_c))
    step = replace(ROAST, uses=(use,), piece=Piece(thickness_m=0.09, shape=shape))
    curve = curves_of([step])[step.id]
    shares = np.linspace(0, 1.1, 111)
    temps = np.array([curve(float(share)) for share in shares])
    assert temps[0] == pytest.approx(FRIDGE_C)
    assert temps[100] == pytest.approx(74, abs=0.05)
    assert np.all(np.diff(temps) >= 0)
    # A straight line would be up by 3.4 C at a twentieth of the time; heat has hardly got there yet.
    assert curve(0.05) - FRIDGE_C < 2.0
    assert curve(1.1) > 74
    assert np.diff(temps[:101]).argmax() >= 10, "it is fastest some way on, not at once"


def test_it_is_near_the_handbook_s_roast_where_that_is_dry_enough() -> None:
    # Kreith's sphere of 1.5 kg has a dry surface; this one is cooled by evaporation and so lags less sharply.
    curve = curves_of([replace(BALL, until=Temperature(degrees=77))])[BALL.id]
    for minutes, celsius in KREITH:
        share = (celsius - 20.0) / 57.0
        assert (curve(minutes / 132.79) - FRIDGE_C) / (77 - FRIDGE_C) == pytest.approx(share, abs=0.12)


def test_a_thick_piece_lags_as_long_by_its_share_as_a_thin_one_but_its_size_is_taken_from_the_plan() -> None:
    thin = curves_of([replace(BALL, piece=Piece(thickness_m=0.02, shape=Shape.FLAT))])[BALL.id]
    thick = curves_of([replace(BALL, piece=Piece(thickness_m=0.12, shape=Shape.FLAT))])[BALL.id]
    assert thin(0.3) > thick(0.3) + 3, "a thin one is limited by its surface, a thick one by its inside"


def test_what_does_not_warm_or_never_gets_there_has_no_curve() -> None:
    cool = replace(ROAST, name="cool the chicken", until=Temperature(degrees=21))
    cold = replace(ROAST, until=Temperature(degrees=4))
    tepid = replace(ROAST, uses=(replace(OVEN, at=Temperature(degrees=70)),))
    assert curves_of([TRIM, cool, cold, tepid]) == {}
