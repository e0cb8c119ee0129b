"""The desk: words from another thread, and what is said back to them."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event as Flag
from threading import Thread

import pytest

from kitchend.core.effects import CallKind
from kitchend.core.events import PhraseHeard, ReadingTaken
from kitchend.service.desk import RunnerDesk
from kitchend.service.intake import Intake, Took
from kitchend.service.memory import MemoryMouth
from kitchend.service.ports import SpeechDone
from kitchend.service.taking import ReadingError, Taking
from kitchend.service.worker import Worker
from kitchend.speaking.ports import PLAIN, Manner
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


class SlowMouth(MemoryMouth):
    """Speaks until it is told that it is done."""

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        self.on_done = on_done


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


def test_a_reading_is_kept_by_the_dinner_in_the_plans_own_degrees(desk: RunnerDesk, kitchen: Kitchen) -> None:
    desk.tell("cook the quay supper for half past seven")
    assert desk.reading(Taking(of="hob", degrees=190)) == Took(celsius=190.0, of="hob")
    assert [(one.of, one.celsius) for one in kitchen.runner.state.readings] == [("hob", 190.0)]


UNWANTED = {"pokr": "nothing in this dinner is called pokr", "greens": "greens is not on now"}


@pytest.mark.parametrize(("of", "why"), UNWANTED.items())
def test_a_reading_of_nothing_that_goes_on_reaches_no_journal(
    desk: RunnerDesk, kitchen: Kitchen, of: str, why: str
) -> None:
    desk.tell("cook the quay supper for half past seven")
    assert desk.reading(Taking(of=of, degrees=58)) == Took(celsius=58.0, why=why)
    assert not any(isinstance(event, ReadingTaken) for event, _ in kitchen.journal.events())


def test_with_no_dinner_on_a_reading_is_not_wanted(desk: RunnerDesk) -> None:
    assert desk.reading(Taking(of="oven", degrees=58)).why == "no dinner is on"


def test_forgetting_waits_for_what_is_being_said(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path), mouth=(mouth := SlowMouth()))
    kitchen.runner.introduce()
    loop = Thread(target=kitchen.runner.run_forever)
    loop.start()
    desk = RunnerDesk(kitchen.runner, kitchen.clock)
    assert desk.tell("what's on") == ("Nothing is on.",)
    with ThreadPoolExecutor() as pool:
        answer = pool.submit(desk.forget)
        assert kitchen.runner.state.speaking is not None
        mouth.on_done(True)
        assert answer.result(timeout=20)
    desk.tell("time the eggs for nine minutes")
    assert not desk.forget()
    kitchen.runner.stop()
    loop.join(timeout=20)
    assert not RunnerDesk(kitchen.runner, kitchen.clock, patience_s=0.01).forget(), "nobody turns the loop"


def test_a_reading_that_none_can_be_is_refused_at_the_desk(desk: RunnerDesk) -> None:
    with pytest.raises(ReadingError, match="is nothing a kitchen has"):
        desk.reading(Taking(of="oven", degrees=1e9))


def test_a_loop_that_stands_still_is_not_waited_for_without_end(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    kitchen.begin()
    took = Intake(kitchen.runner, patience_s=0.05).ask(Taking(of="hob", degrees=190))
    assert took == Took(celsius=190.0, why="kitchend is too busy to take it")


def test_a_reading_that_the_dinner_gives_away_is_said_to_be_not_taken(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    kitchen.begin()
    kitchen.type("rice is on")
    loop = Thread(target=kitchen.runner.run_forever)

    # Between the look at the state and the loop's turn the step ends.
    kitchen.runner.put(PhraseHeard(text="rice is done", started=kitchen.clock.now().instant, is_typed=True))
    intake = Intake(kitchen.runner)
    with ThreadPoolExecutor() as pool:
        answer = pool.submit(intake.ask, Taking(of="rice", degrees=90))
        while kitchen.runner._queue.qsize() < 2:
            Flag().wait(0.005)
        loop.start()
        assert answer.result(timeout=20).why == "the dinner did not take it"
    kitchen.runner.stop()
    loop.join(timeout=20)
