"""Two kinds of time: they convert only through a present that holds both."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.core.clock import DAY_S, Instant, Now, TimeOfDay, WallTime

whole = st.integers(min_value=0, max_value=4_000_000_000)
offsets = st.sampled_from([0, 3600, 7200, -18_000, 19_800])
times = st.builds(TimeOfDay, st.integers(0, 23), st.integers(0, 59))


@given(epoch=whole, offset=offsets, time=times)
def test_the_next_such_time_shows_it_and_lies_within_a_day(epoch: int, offset: int, time: TimeOfDay) -> None:
    wall = WallTime(float(epoch), offset)
    then = wall.next_at(time)
    assert (then.local.hour, then.local.minute, then.local.second) == (time.hour, time.minute, 0)
    assert 0 <= then - wall < DAY_S


@given(epoch=whole, offset=offsets)
def test_iso_text_is_what_the_standard_library_reads_back(epoch: int, offset: int) -> None:
    text = WallTime(float(epoch), offset).isoformat()
    zone = timezone(timedelta(seconds=offset))
    assert datetime.fromisoformat(text) == datetime.fromtimestamp(epoch, zone)


@given(epoch=whole, ahead=st.integers(-100_000, 100_000))
def test_a_wall_time_and_its_instant_convert_back(epoch: int, ahead: int) -> None:
    now = Now(Instant(50.0), WallTime(float(epoch)))
    wall = now.wall + ahead
    assert now.wall_of(now.instant_of(wall)) == wall


def test_instants_and_wall_times_subtract_to_seconds_or_to_earlier_ones() -> None:
    assert Instant(9.0) - Instant(4.0) == 5.0
    assert Instant(9.0) - 4.0 == Instant(5.0)
    assert WallTime(9.0) - WallTime(4.0) == 5.0
    assert WallTime(9.0) - 4.0 == WallTime(5.0)


def test_the_two_kinds_do_not_compare() -> None:
    with pytest.raises(AttributeError):
        assert WallTime(1.0) < Instant(2.0)  # type: ignore[operator]  # that mypy refuses it is the point


def test_the_time_of_day_is_to_the_nearest_minute() -> None:
    assert WallTime(19 * 3600 + 29 * 60 + 40.0).time_of_day == TimeOfDay(19, 30)
    assert str(TimeOfDay(7, 5)) == "07:05"


def test_later_moves_both_kinds_alike() -> None:
    now = Now(Instant(1.0), WallTime(10.0)).after(5)
    assert now == Now(Instant(6.0), WallTime(15.0))
    assert WallTime(1.0) <= WallTime(1.0) < WallTime(2.0)
