"""What was said goes in time, though kitchend is never restarted: past dinners, and words between dinners."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from kitchend.core.clock import DAY_S, Now
from kitchend.core.events import PhraseHeard
from kitchend.service.journal import open_journal
from kitchend.service.safe_journal import SafeJournal
from kitchend.service.tidying import EVERY_S, TidyingPulse
from tests.service.kitchen import START, Kitchen, quay_plan

DAYS = 30


class Beats:
    """A pulse that counts."""

    def __init__(self) -> None:
        self.count = 0

    def beat(self, now: Now) -> None:
        self.count += 1

    def last(self) -> Now | None:
        return START


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "state" / "journal.sqlite3"


@pytest.fixture
def journal(path: Path) -> Iterator[SafeJournal]:
    with closing(
        SafeJournal(lambda: open_journal(path, wall=lambda: START.wall, complain=pytest.fail), pytest.fail)
    ) as journal:
        yield journal


def after(days: float) -> Now:
    return START.after(days * DAY_S)


def said(words: str) -> PhraseHeard:
    return PhraseHeard(text=words, started=START.instant, is_typed=True)


def test_a_past_dinner_goes_though_nobody_starts_kitchend_anew(path: Path, journal: SafeJournal) -> None:
    old = path.parent / f"{START.wall.local:%Y-%m-%d-%H%M%S}-dinner.sqlite3"
    old.write_bytes(b"what was said")
    pulse = TidyingPulse(Beats(), journal, path, DAYS, lambda: pytest.fail("nothing was said"))
    for days, is_there in ((0, True), (29.9, True), (30.1, False)):
        pulse.beat(after(days))
        assert old.exists() is is_there


def test_words_between_dinners_are_put_away_once_the_first_is_old_enough(
    path: Path, journal: SafeJournal
) -> None:
    asked: list[bool] = []
    pulse = TidyingPulse(Beats(), journal, path, DAYS, lambda: asked.append(True))
    assert journal.first() is None
    journal.append(said("how long on the eggs"), START)
    journal.append(said("how long on the buns"), after(20))
    assert journal.first() == START.wall
    for days in (1, 29.9, 30.1):
        assert asked == []
        pulse.beat(after(days))
    assert asked == [True]


def test_it_looks_once_an_hour_and_passes_every_beat_on(path: Path, journal: SafeJournal) -> None:
    journal.append(said("how long on the eggs"), START)
    asked: list[bool] = []
    beats = Beats()
    pulse = TidyingPulse(beats, journal, path, DAYS, lambda: asked.append(True))
    for seconds in (0.0, 10.0, EVERY_S - 1, EVERY_S + 1):
        pulse.beat(after(31).after(seconds))
    assert (len(asked), beats.count) == (2, 4)
    assert pulse.last() == START


def test_an_idle_runner_forgets_and_goes_on(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    kitchen.runner.introduce()
    kitchen.type("how long on the eggs")
    done: list[bool] = []
    kitchen.runner.forget(done.append)
    kitchen.runner.run_pending()
    assert done == [True]
    assert not any(isinstance(event, PhraseHeard) for event, _ in kitchen.journal.events())
    kitchen.type("time the eggs for nine minutes")
    kitchen.runner.forget(done.append)
    kitchen.runner.run_pending()
    assert done == [True, False]
    assert [timer.name for timer in kitchen.runner.state.timers] == ["eggs"]
    kitchen.type("what's on")
    assert "eggs" in kitchen.said[-1].lower()
    assert kitchen.complaints == []


def test_a_plan_that_is_being_opened_is_not_forgotten(tmp_path: Path) -> None:
    waiting: list[object] = []
    kitchen = Kitchen(quay_plan(tmp_path), work=waiting.append)
    kitchen.runner.introduce()
    kitchen.type("cook the quay supper for half past seven")
    done: list[bool] = []
    kitchen.runner.forget(done.append)
    kitchen.runner.run_pending()
    assert done == [False]
    for job in waiting:
        assert callable(job)
        job()
    kitchen.runner.run_pending()
    assert kitchen.runner.state.plan is not None
