"""The desk: words from another thread, and what is said back to them."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Thread

import pytest

from kitchend.service.desk import RunnerDesk
from kitchend.service.memory import MemoryMouth
from kitchend.service.worker import Worker
from tests.service.kitchen import Kitchen, quay_plan


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    """A kitchen whose loop runs in a thread, with planning in another, as in the service."""
    worker = Worker()
    kitchen = Kitchen(quay_plan(tmp_path), work=worker)
    kitchen.runner.introduce()
    loop = Thread(target=kitchen.runner.run_forever)
    loop.start()
    yield kitchen
    kitchen.runner.stop()
    loop.join(timeout=20)
    worker.close()
    assert not loop.is_alive()
    assert kitchen.complaints == []


@pytest.fixture
def desk(kitchen: Kitchen) -> RunnerDesk:
    return RunnerDesk(kitchen.runner, kitchen.clock)


def test_a_question_is_answered(desk: RunnerDesk) -> None:
    assert desk.tell("what's on") == ("Nothing is on.",)


def test_starting_a_dinner_is_answered_with_the_dinner(desk: RunnerDesk) -> None:
    said = desk.tell("cook the quay supper for half past seven")
    assert said[-1].startswith("Quay supper. The pass is at half past seven.")


def test_a_dinner_is_told_from_start_to_end(desk: RunnerDesk) -> None:
    desk.tell("cook the quay supper for half past seven")
    assert desk.tell("time the eggs for nine minutes") == ("Eggs: nine minutes.",)
    assert desk.tell("how long on the eggs") == ("Eggs: nine minutes.",)
    assert desk.tell("undo that")[0]


def test_words_that_are_no_command_are_said_to_be_none(desk: RunnerDesk) -> None:
    assert desk.tell("purple monkeys") == ("Sorry, I do not know: purple monkeys.",)


def test_what_has_no_answer_comes_back_at_once_with_nothing(desk: RunnerDesk) -> None:
    assert desk.tell("quiet") == ()


def test_many_may_tell_at_once(desk: RunnerDesk) -> None:
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(desk.tell, ["what's on"] * 24))
    assert all("Nothing is on." in " ".join(said) for said in answers)


def test_a_mouth_that_never_ends_costs_patience_only(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path), mouth=MemoryMouth(holds=True))
    kitchen.begin()
    loop = Thread(target=kitchen.runner.run_forever)
    loop.start()
    try:
        assert RunnerDesk(kitchen.runner, kitchen.clock, patience_s=0.3).tell("when do we eat") == ()
    finally:
        kitchen.runner.stop()
        loop.join(timeout=20)


def test_the_status_is_what_is_so(desk: RunnerDesk, kitchen: Kitchen) -> None:
    assert desk.status()["plan"] is None
    desk.tell("cook the quay supper for half past seven")
    desk.tell("time the eggs for nine minutes")
    status = desk.status()
    assert status["plan"] == "Quay supper"
    assert status["serve"] == "2026-05-29T19:30:00+00:00"
    assert (status["steps_done"], status["steps"], status["late_by_s"]) == (0, 3, 0)
    assert status["timers"] == [{"name": "eggs", "left_s": 540, "held": False}]
    starts = [step["start"] for step in status["next"]]
    assert len(starts) == 3
    assert starts == sorted(starts)
    assert kitchen.runner.state.plan == kitchen.plan
