"""Carry-over: what the core still gains while a piece rests off the heat, from the same model.

The piece is lived on from the moment it is pulled, under a surface in a room. What is found is bounded by
what is published, 3 to 14 C.
"""

from __future__ import annotations

import numpy as np

from kitchend.doneness.conduction import Floats, Shape
from kitchend.doneness.core_model import Pieces, core_of, lived
from kitchend.doneness.surface import Air

LEAST_C, MOST_C = 3.0, 14.0
"""5 F for a small cut to 25 F for a very large roast: published by teachers of professional cooking."""
REST_H = 8.0
"""W/m2K of a piece standing in a room: free convection and radiation; the value of the worked check."""
ROOM_C = 22.0
REST_S = 30 * 60.0
"""The usual carry-over is published for 15 to 30 minutes."""
MOMENTS = 24


def rise_at_rest(
    shape: Shape, theta: Floats, pieces: Pieces, *, room_c: float = ROOM_C, rest_s: float = REST_S
) -> Floats:
    """How many C the cores of candidates float64[p, 8] gain within `rest_s`: float64[p], unbounded above.

    `pieces` are moved on to the end of the rest.
    """
    count = len(theta)
    room = Air(
        celsius=np.full(count, room_c),
        h=np.full(count, REST_H),
        vapour_pa=np.zeros(count),
        supply=np.full(count, 1e-12),
        dry_at=np.ones(count),
        radiant=False,
    )
    now = core_of(shape, theta, pieces.all_amounts(theta))
    cores = lived(shape, theta, room, pieces, rest_s / MOMENTS, MOMENTS, fine=1).cores
    return np.asarray(np.maximum(cores.max(axis=0) - now, 0.0), dtype=np.float64)


def bounded(rise_c: Floats) -> Floats:
    """A carry-over within the published 3 to 14 C."""
    return np.asarray(np.clip(rise_c, LEAST_C, MOST_C), dtype=np.float64)
