"""Days of dinners leave nothing behind in memory: a sample of the week that `make soak` lives."""

from __future__ import annotations

from pathlib import Path

from tests.service.kitchen import quay_plan
from tests.service.long_week import live_days


def test_days_of_dinners_and_timers_leave_nothing_behind(tmp_path: Path) -> None:
    days = list(live_days(quay_plan(tmp_path), tmp_path, 3, 12))
    assert [day.dinners for day in days] == [1, 1, 1]
    assert [day.complaints for day in days] == [(), (), ()]
    assert all(day.rung >= 4 for day in days)
    assert days[-1].resident_mb - days[0].resident_mb < 5
