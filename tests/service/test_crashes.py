"""Nothing is lost and nothing called twice, wherever the power is cut: a sample of what `make soak` does."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.plan import Plan
from tests.service.crash_points import live
from tests.service.kills import Siege
from tests.service.kitchen import quay_plan

KILLS = 8
PARTS = 4
EVERY = 16


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return quay_plan(tmp_path)


def test_a_dinner_without_a_power_cut_makes_each_call_once(plan: Plan, tmp_path: Path) -> None:
    lives = live(plan, tmp_path, None)
    assert lives.wrong() == []
    assert len(lives.points) > 200
    assert {point.split()[0] for point in lives.points} == {"before", "after"}


@pytest.mark.parametrize("part", range(PARTS))
def test_a_power_cut_between_a_write_and_an_effect_loses_nothing(
    plan: Plan, tmp_path: Path, part: int
) -> None:
    (tmp_path / "whole").mkdir()
    points = live(plan, tmp_path / "whole", None).points
    wrong: list[str] = []
    for at in range(1 + part * EVERY // PARTS, len(points) + 1, EVERY):
        folder = tmp_path / str(at)
        folder.mkdir()
        lives = live(plan, folder, at)
        assert lives.where.startswith(f"point {at}, {points[at - 1]}")
        wrong += lives.wrong()
    assert wrong == []


@pytest.mark.slow
def test_a_service_that_is_killed_again_and_again_keeps_every_timer(tmp_path: Path) -> None:
    book = Siege(tmp_path, timers=20, seed=3, spans_s=(2, 15)).run(KILLS)
    assert book.wrong == []
    assert len(book.kills_s) == KILLS + 1
    assert len(book.rung) >= 20
