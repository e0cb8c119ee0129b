"""Nothing is lost and nothing called twice, wherever the power is cut: a sample of what `make soak` does."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.plan import Plan
from tests.service.crash_points import live
from tests.service.kills import Book, Kill, Line, Siege
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
    assert len(book.kills) == KILLS + 1
    assert len(book.rung) >= 20


@pytest.mark.parametrize(
    ("after_s", "queued_s", "is_cut_off"),
    [(0.9, 0.0, True), (1.1, 0.0, False), (9.0, 8.5, True), (9.0, 7.5, False), (-0.5, 0.0, True)],
    ids=[
        "soon",
        "later",
        "stood in line nearly all the time",
        "had a second and a half",
        "read after the kill",
    ],
)
def test_a_call_counts_as_cut_off_by_the_time_in_which_the_service_could_run(
    after_s: float, queued_s: float, is_cut_off: bool
) -> None:
    kill = Kill(at_s=100.0 + after_s, queued_s=2.0 + queued_s)
    book = Book(kills=[Kill(at_s=50.0, queued_s=0.0), kill, Kill(at_s=200.0, queued_s=0.0)])
    assert book.was_cut_off(Line(at_s=100.0, text="Figs: time is up.", queued_s=2.0)) is is_cut_off
