"""When a snapshot is kept: not while something would fall due meanwhile, and not too seldom either."""

from __future__ import annotations

import pytest

from kitchend.core.clock import Instant
from kitchend.service.pace import OLD_S, Pace


def pace(*, took_s: float) -> Pace:
    """After a snapshot that ended at 100 s."""
    known = Pace()
    known.kept(Instant(100.0 - took_s), Instant(100.0))
    return known


@pytest.mark.parametrize(
    ("took_s", "wakes_in_s", "allowed"),
    [
        (0.001, 0.05, True),
        (0.08, 0.05, False),
        (0.08, 0.1, False),
        (0.08, 0.2, True),
        (0.08, -0.01, False),
        (0.08, None, True),
    ],
    ids=["a small one", "would be late", "hardly room", "room", "due already", "nothing is to come"],
)
def test_one_is_kept_where_there_is_room_before_what_falls_due(
    took_s: float, wakes_in_s: float | None, allowed: bool
) -> None:
    known, at = pace(took_s=took_s), Instant(110.0)
    known.wakes_at = None if wakes_in_s is None else at + wakes_in_s
    assert known.allows(at) is allowed


def test_after_a_minute_one_is_kept_whatever_falls_due() -> None:
    known = pace(took_s=0.08)
    for after_s, allowed in ((OLD_S - 1, False), (OLD_S, True)):
        at = Instant(100.0 + after_s)
        known.wakes_at = at
        assert known.allows(at) is allowed


def test_the_first_is_always_kept() -> None:
    fresh = Pace()
    fresh.wakes_at = Instant(5.0)
    assert fresh.allows(Instant(5.0))
