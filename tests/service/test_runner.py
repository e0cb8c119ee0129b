"""The runner: every event journalled before its effects, effects in order, and no part can end the dinner."""

from __future__ import annotations

from pathlib import Path
from threading import Thread

import pytest

from kitchend.core.clock import Instant, Now
from kitchend.core.effects import CallKind, Speak, WakeAt
from kitchend.core.events import (
    ClockMoved,
    DinnerRefused,
    DinnerStarted,
    Event,
    MannersSet,
    PhraseHeard,
    PlansKnown,
    Resumed,
    SpeechEnded,
    TimelinePlanned,
)
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState, Manners
from kitchend.core.timeline import Timeline
from kitchend.errors import DeviceError
from kitchend.service.memory import MemoryJournal, MemoryMouth
from kitchend.service.planner import SolvingPlanner
from kitchend.service.ports import SpeechDone
from kitchend.speaking.ports import PLAIN, Manner
from tests.service.kitchen import Kitchen, quay_plan


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return quay_plan(tmp_path)


@pytest.fixture
def kitchen(plan: Plan) -> Kitchen:
    return Kitchen(plan)


def test_a_dinner_is_called_answered_and_put_away(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.cook_it_all()
    assert kitchen.complaints == []
    assert kitchen.has_ended
    assert isinstance(kitchen.journal, MemoryJournal)
    assert len(kitchen.journal.finished) == 1
    assert [event for event, _ in kitchen.journal.events()] == [
        MannersSet(manners=Manners()),
        PlansKnown(names=("Quay supper",)),
    ]


class LoggingJournal(MemoryJournal):
    """Tells a log shared with the other parts what it kept."""

    def __init__(self, log: list[str]) -> None:
        super().__init__()
        self._log = log

    def append(self, event: Event, now: Now) -> None:
        super().append(event, now)
        self._log.append(f"kept {type(event).__name__}")


class LoggingMouth(MemoryMouth):
    def __init__(self, log: list[str]) -> None:
        super().__init__()
        self._log = log

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        self._log.append(f"said {text}")
        super().say(text, kind, on_done, manner)


def test_every_event_is_kept_before_its_effects(plan: Plan) -> None:
    log: list[str] = []
    kitchen = Kitchen(plan, LoggingJournal(log), mouth=LoggingMouth(log))
    kitchen.begin()
    log.clear()
    kitchen.type("when do we eat")
    assert log == ["kept PhraseHeard", "said The pass is at six twelve.", "kept SpeechEnded"]


def test_watchers_see_each_event_with_its_effects(kitchen: Kitchen) -> None:
    kitchen.begin()
    seen = len(kitchen.stepped)
    kitchen.type("when do we eat")
    phrase, spoken = kitchen.stepped[seen:]
    assert isinstance(phrase.event, PhraseHeard)
    assert [type(effect) for effect in phrase.effects] == [Speak, WakeAt]
    assert phrase.state.speaking is not None
    assert spoken.event == SpeechEnded(utterance=phrase.state.speaking)
    assert spoken.before == phrase.state
    assert spoken.state == kitchen.runner.state


def test_who_stops_watching_sees_no_more(kitchen: Kitchen) -> None:
    seen: list[object] = []
    stop = kitchen.runner.watch(seen.append)
    kitchen.begin()
    count = len(seen)
    stop()
    kitchen.type("when do we eat")
    assert count > 0
    assert len(seen) == count


def test_the_listener_is_told_what_can_be_said_when_that_changes(kitchen: Kitchen) -> None:
    kitchen.begin()
    asked = len(kitchen.listener.asked)
    assert kitchen.listener.asked[-1].accepts("how long on the rice")
    kitchen.put(SpeechEnded(utterance=999))
    assert len(kitchen.listener.asked) == asked
    kitchen.wait(0.3)
    assert len(kitchen.listener.asked) > asked
    assert not kitchen.listener.asked[-1].accepts("what's next")
    assert kitchen.listener.asked[-1].accepts("hey kitchen what's next")


def test_the_listener_is_deaf_while_kitchend_speaks(plan: Plan) -> None:
    mouth = MemoryMouth(holds=True)
    kitchen = Kitchen(plan, mouth=mouth)
    kitchen.begin()
    assert kitchen.listener.is_deaf
    mouth.finish()
    assert not kitchen.listener.is_deaf


def test_quiet_stops_what_is_being_said(plan: Plan) -> None:
    mouth = MemoryMouth(holds=True)
    kitchen = Kitchen(plan, mouth=mouth)
    kitchen.begin()
    speaking = kitchen.runner.state.speaking
    assert speaking is not None
    kitchen.type("quiet")
    ended = [s.event for s in kitchen.stepped if isinstance(s.event, SpeechEnded)]
    assert ended == [SpeechEnded(utterance=speaking, ok=True)]


class BrokenMouth(MemoryMouth):
    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        raise DeviceError("loudspeaker", "it is gone", "plug it in")


def test_a_broken_mouth_costs_its_words_and_nothing_else(plan: Plan) -> None:
    kitchen = Kitchen(plan, mouth=BrokenMouth())
    kitchen.begin()
    assert set(kitchen.complaints) == {"loudspeaker: it is gone; plug it in"}
    assert kitchen.runner.state.speaking is None
    ended = [stepped.event for stepped in kitchen.stepped if isinstance(stepped.event, SpeechEnded)]
    assert ended[0] == SpeechEnded(utterance=1, ok=False)
    assert not kitchen.listener.is_deaf


class FullJournal(MemoryJournal):
    def append(self, event: Event, now: Now) -> None:
        raise OSError(28, "No space left on device")


def test_a_full_disk_does_not_stop_the_dinner(plan: Plan) -> None:
    kitchen = Kitchen(plan, FullJournal())
    kitchen.begin()
    kitchen.type("when do we eat")
    assert kitchen.said[-1] == "The pass is at six twelve."
    assert set(kitchen.complaints) == {"[Errno 28] No space left on device"}


class BrokenPlanner(SolvingPlanner):
    def rest(self, state: DinnerState, now: Now) -> Timeline:
        raise ZeroDivisionError


def test_a_planner_that_breaks_leaves_the_old_timeline(plan: Plan) -> None:
    kitchen = Kitchen(plan, planner=BrokenPlanner())
    kitchen.begin()
    timeline = kitchen.runner.state.timeline
    kitchen.type("serve fifteen minutes later")
    assert kitchen.runner.state.timeline == timeline
    assert ["this is a bug, could not plan the rest again" in line for line in kitchen.complaints] == [True]


def test_a_watcher_that_breaks_is_told_and_the_dinner_goes_on(kitchen: Kitchen) -> None:
    def broken(stepped: object) -> None:
        raise BrokenPipeError(32, "Broken pipe")

    kitchen.runner.watch(broken)
    kitchen.begin()
    assert kitchen.said
    assert set(kitchen.complaints) == {"[Errno 32] Broken pipe"}


def test_only_the_newest_wish_for_a_plan_is_answered(plan: Plan) -> None:
    jobs: list[object] = []
    kitchen = Kitchen(plan, work=jobs.append)
    kitchen.begin()
    for _ in range(3):
        kitchen.type("serve fifteen minutes later")
    assert len(jobs) == 3
    for job in jobs:
        assert callable(job)
        job()
    kitchen.runner.run_pending()
    planned = [s.event for s in kitchen.stepped if isinstance(s.event, TimelinePlanned)]
    assert [event.revision for event in planned] == [kitchen.runner.state.revision]


def test_a_dinner_is_started_by_name(kitchen: Kitchen) -> None:
    kitchen.runner.introduce()
    kitchen.type("cook the quay supper for half past seven")
    assert kitchen.runner.state.plan == kitchen.plan
    assert kitchen.runner.state.source == "quay.yaml"
    assert kitchen.runner.state.serve is not None
    assert f"{kitchen.runner.state.serve.local:%H:%M}" == "19:30"


def test_a_plan_that_cannot_be_opened_is_refused_in_words(kitchen: Kitchen) -> None:
    kitchen.runner.introduce()
    kitchen.runner.run_pending()
    kitchen.plans.forget()
    kitchen.type("cook the quay supper")
    refused = [s.event for s in kitchen.stepped if isinstance(s.event, DinnerRefused)]
    assert len(refused) == 1
    assert "no plan is called Quay supper" in refused[0].message
    assert kitchen.runner.state.plan is None
    assert any("no plan is called" in text for text in kitchen.said)


def test_own_timers_outlive_the_dinner_and_then_the_journal_is_put_away(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("time the eggs for two hours")
    kitchen.cook_it_all()
    assert kitchen.runner.state.plan is None
    assert [timer.name for timer in kitchen.runner.state.timers] == ["eggs"]
    assert isinstance(kitchen.journal, MemoryJournal)
    assert kitchen.journal.finished == []
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now())
    assert again.runner.restore()
    assert [timer.name for timer in again.runner.state.timers] == ["eggs"]


def test_restoring_gives_an_equal_state(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("rice is on")
    kitchen.wait(3)
    kitchen.type("five more minutes on the rice")
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now())
    assert again.runner.restore()
    assert again.runner.state == kitchen.runner.state
    assert again.said == []


def test_a_restored_timer_rings_when_it_would_have_rung(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("time the eggs for nine minutes")
    kitchen.wait(2)
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now())
    assert again.runner.restore()
    again.wait(6.9)
    assert not any("eggs" in text.lower() for text in again.said)
    again.wait(0.2)
    assert any("eggs" in text.lower() for text in again.said)


def test_a_timer_that_ran_out_meanwhile_rings_at_once(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("time the eggs for nine minutes")
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now().after(3600))
    assert again.runner.restore()
    again.runner.run_pending()
    assert any("eggs" in text.lower() for text in again.said)


def test_other_settings_do_not_change_what_was_heard(plan: Plan) -> None:
    kitchen = Kitchen(plan, manners=Manners(is_open=True))
    kitchen.begin()
    kitchen.wait(1)
    kitchen.put(PhraseHeard(text="time the eggs for nine minutes", started=kitchen.clock.now().instant))
    assert [timer.name for timer in kitchen.runner.state.timers] == ["eggs"]
    again = Kitchen(plan, kitchen.journal, manners=Manners(is_open=False))
    again.clock.advance_to(kitchen.clock.now().instant)
    assert again.runner.restore()
    again.runner.introduce()
    again.runner.run_pending()
    assert [timer.name for timer in again.runner.state.timers] == ["eggs"]
    assert again.runner.state.manners == Manners(is_open=False)


def test_an_empty_journal_restores_nothing(kitchen: Kitchen) -> None:
    assert not kitchen.runner.restore()
    assert kitchen.runner.run_pending() == 0


def test_a_journal_without_a_dinner_is_no_reason_to_say_anything(kitchen: Kitchen) -> None:
    kitchen.runner.introduce()
    kitchen.type("what's on")
    again = Kitchen(kitchen.plan, kitchen.journal)
    assert not again.runner.restore()
    assert again.runner.run_pending() == 0
    assert list(kitchen.journal.events()) == []


class LastSeen:
    """A sign of life at a given present."""

    def __init__(self, now: Now) -> None:
        self._now = now

    def beat(self, now: Now) -> None:
        self._now = now

    def last(self) -> Now | None:
        return self._now


@pytest.mark.parametrize(("seen_after_s", "away_s"), [(0, 600.0), (540, 60.0), (-50, 600.0)])
def test_how_long_it_was_away_counts_from_the_last_sign_of_life(
    kitchen: Kitchen, seen_after_s: float, away_s: float
) -> None:
    kitchen.begin()
    last = kitchen.clock.now()
    pulse = LastSeen(last.after(seen_after_s))
    again = Kitchen(kitchen.plan, kitchen.journal, at=last.after(600), pulse=pulse)
    assert again.runner.restore()
    again.runner.run_pending()
    assert [s.event for s in again.stepped if isinstance(s.event, Resumed)] == [Resumed(away_s=away_s)]


def test_after_a_start_with_a_wrong_clock_nobody_knows_how_long_it_was_away(kitchen: Kitchen) -> None:
    kitchen.clock.move_wall(7200)
    kitchen.begin()
    again = Kitchen(kitchen.plan, kitchen.journal, knows_away=False)
    assert again.runner.restore()
    again.runner.run_pending()
    resumed = [s.event for s in again.stepped if isinstance(s.event, Resumed)]
    assert resumed == [Resumed(away_s=None, clock=ClockMoved(by_s=-7200))]


def test_a_clock_that_was_set_while_it_was_away_does_not_matter_to_how_long(kitchen: Kitchen) -> None:
    kitchen.begin()
    now = kitchen.clock.now().after(600)
    again = Kitchen(kitchen.plan, kitchen.journal, at=Now(now.instant, now.wall - 7200))
    assert again.runner.restore()
    again.runner.run_pending()
    resumed = [s.event for s in again.stepped if isinstance(s.event, Resumed)]
    assert resumed == [Resumed(away_s=600, clock=ClockMoved(by_s=-7200))]
    assert any("I am back after ten minutes. The clock went two hours back." in text for text in again.said)


@pytest.mark.parametrize("by_s", [-10_800.0, 10_800.0, 365 * 86_400.0])
def test_a_set_clock_is_noticed_and_said_once(kitchen: Kitchen, by_s: float) -> None:
    kitchen.begin()
    kitchen.type("time the eggs for nine minutes")
    kitchen.clock.move_wall(by_s)
    kitchen.type("what's on")
    kitchen.wait(2)
    moves = [s.event for s in kitchen.stepped if isinstance(s.event, ClockMoved)]
    assert [move.by_s for move in moves] == pytest.approx([by_s])
    assert sum("The clock went" in text for text in kitchen.said) == 1
    again = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now())
    assert again.runner.restore()
    assert again.runner.state == kitchen.runner.state


def test_a_clock_that_is_a_little_off_is_no_news(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.clock.move_wall(1.5)
    kitchen.type("what's on")
    assert not [s for s in kitchen.stepped if isinstance(s.event, ClockMoved)]


def test_a_dinner_that_was_being_opened_is_opened_after_a_restart(plan: Plan) -> None:
    jobs: list[object] = []
    kitchen = Kitchen(plan, work=jobs.append)
    kitchen.runner.introduce()
    kitchen.type("cook the quay supper for half past seven")
    assert len(jobs) == 1
    again = Kitchen(plan, kitchen.journal)
    assert again.runner.restore()
    again.runner.introduce()
    again.runner.run_pending()
    assert again.runner.state.plan == plan
    once_more = Kitchen(plan, kitchen.journal, at=again.clock.now())
    assert once_more.runner.restore()
    once_more.runner.run_pending()
    assert not [s for s in once_more.stepped if isinstance(s.event, DinnerStarted)]


def test_events_from_many_threads_are_taken_one_by_one(kitchen: Kitchen) -> None:
    kitchen.begin()
    loop = Thread(target=kitchen.runner.run_forever)
    loop.start()

    def talk() -> None:
        for _ in range(20):
            kitchen.runner.put(PhraseHeard(text="when do we eat", started=Instant(0), is_typed=True))

    talkers = [Thread(target=talk) for _ in range(5)]
    for talker in talkers:
        talker.start()
    for talker in talkers:
        talker.join()
    kitchen.runner.stop()
    loop.join(timeout=20)
    assert not loop.is_alive()
    kitchen.runner.run_pending()
    assert sum(isinstance(stepped.event, PhraseHeard) for stepped in kitchen.stepped) == 100
    befores = [stepped.before for stepped in kitchen.stepped]
    assert befores[1:] == [stepped.state for stepped in kitchen.stepped[:-1]]


def test_at_the_end_whoever_waits_is_told(plan: Plan) -> None:
    ends: list[bool] = []
    kitchen = Kitchen(plan, on_end=lambda: ends.append(True))
    kitchen.begin()
    assert ends == []
    kitchen.cook_it_all()
    assert ends == [True]


def test_the_manner_of_speaking_reaches_the_mouth(plan: Plan) -> None:
    kitchen = Kitchen(plan)
    speak = Speak(utterance=7, text="Softly now.", kind=CallKind.NOW, louder_db=-6.0, is_whisper=True)
    kitchen.runner._carrier.carry_out(speak, kitchen.runner.state, kitchen.clock.now())
    assert kitchen.mouth.said[-1].manner == Manner(louder_db=-6.0, is_whisper=True)
