"""Snapshots save a restart from living through a long journal, and are never believed against it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from kitchend.core.dinner import begin
from kitchend.core.effects import OpenPlan
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState
from kitchend.service import snapshot as snapshots_file
from kitchend.service.memory import MemoryJournal, MemorySnapshots
from kitchend.service.ports import Snapshot, Snapshots
from kitchend.service.runner import SNAPSHOT_EVERY
from kitchend.service.snapshot import FileSnapshots
from tests.service.kitchen import START, Kitchen, quay_plan

SNAPSHOT = Snapshot(count=7, now=START, state=begin(), has_ended=False, opening=OpenPlan(name="Quay supper"))


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return quay_plan(tmp_path)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "snapshot"


@pytest.fixture(params=["memory", "disk"])
def snapshots(request: pytest.FixtureRequest, path: Path) -> Snapshots:
    return MemorySnapshots() if request.param == "memory" else FileSnapshots(path)


def test_the_last_one_comes_back_equal(snapshots: Snapshots) -> None:
    assert snapshots.last() is None
    snapshots.keep(replace(SNAPSHOT, count=3))
    snapshots.keep(SNAPSHOT)
    assert snapshots.last() == SNAPSHOT
    snapshots.forget()
    assert snapshots.last() is None
    snapshots.forget()


def test_where_the_last_is_damaged_the_one_before_it_serves(path: Path) -> None:
    before = replace(SNAPSHOT, count=3)
    for snapshot in (before, SNAPSHOT):
        FileSnapshots(path).keep(snapshot)
    path.write_bytes(path.read_bytes()[:40])
    assert FileSnapshots(path).last() == before
    path.unlink()
    assert FileSnapshots(path).last() == before
    FileSnapshots(path).forget()
    assert list(path.parent.glob("snapshot*")) == []


def test_a_damaged_one_is_as_good_as_none(path: Path) -> None:
    FileSnapshots(path).keep(SNAPSHOT)
    whole = path.read_bytes()
    for seed in range(50):
        raw = bytearray(whole)
        raw[Random(seed).randrange(len(raw))] ^= 0x01
        path.write_bytes(raw)
        assert FileSnapshots(path).last() is None
    for length in (0, 3, 4, 60, len(whole) - 1):
        path.write_bytes(whole[:length])
        assert FileSnapshots(path).last() is None


def test_one_that_other_code_made_is_as_good_as_none(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    FileSnapshots(path).keep(SNAPSHOT)
    monkeypatch.setattr(snapshots_file, "fingerprint", lambda: "another")
    assert FileSnapshots(path).last() is None


def test_a_place_that_cannot_be_written_is_no_failure(tmp_path: Path) -> None:
    nowhere = FileSnapshots(tmp_path / "missing" / "snapshot")
    nowhere.keep(SNAPSHOT)
    assert nowhere.last() is None


def in_mid_dinner(plan: Plan, snapshots: Snapshots) -> Kitchen:
    kitchen = Kitchen(plan, snapshots=snapshots)
    kitchen.begin()
    for words in ("rice is on", "time the eggs for nine minutes", "greens trimmed", "what's on"):
        kitchen.type(words)
        kitchen.wait(0.7)
    assert snapshots.last() is not None
    return kitchen


def restored(kitchen: Kitchen, snapshots: Snapshots) -> DinnerState:
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now(), snapshots=snapshots)
    assert again.runner.restore()
    return again.runner.state


def test_a_restart_takes_up_from_the_snapshot(plan: Plan) -> None:
    snapshots = MemorySnapshots()
    kitchen = in_mid_dinner(plan, snapshots)
    assert restored(kitchen, snapshots) == kitchen.runner.state
    last = snapshots.last()
    assert last is not None
    kept = list(kitchen.journal.events())
    assert len(kept) - last.count < SNAPSHOT_EVERY
    _, now = kept[-1]
    told = replace(kitchen.runner.state, last_words="a state of its own")
    snapshots.keep(replace(last, count=len(kept), now=now, state=told))
    assert restored(kitchen, snapshots) == told


@pytest.mark.parametrize("what", ["longer than the journal", "of another moment"])
def test_one_that_is_not_of_this_journal_is_left_alone(plan: Plan, what: str) -> None:
    snapshots = MemorySnapshots()
    kitchen = in_mid_dinner(plan, snapshots)
    last = snapshots.last()
    assert last is not None
    wrong = replace(last, state=begin())
    if what == "of another moment":
        snapshots.keep(replace(wrong, now=last.now.after(1)))
    else:
        snapshots.keep(replace(wrong, count=10_000))
    assert restored(kitchen, snapshots) == kitchen.runner.state


def test_when_a_dinner_is_put_away_its_snapshot_goes(plan: Plan) -> None:
    snapshots = MemorySnapshots()
    kitchen = Kitchen(plan, snapshots=snapshots)
    kitchen.begin()
    kitchen.cook_it_all()
    assert isinstance(kitchen.journal, MemoryJournal)
    assert len(kitchen.journal.finished) == 1
    assert snapshots.last() is None
