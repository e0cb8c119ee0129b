"""Where several events wait at once: which is taken first, and when ears and mouth are told of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.events import Event, PhraseHeard, Resumed, SpeechEnded
from kitchend.core.plan import Plan
from kitchend.service.memory import MemoryJournal, MemorySnapshots
from kitchend.service.runner import PREPARE_EVERY, SNAPSHOT_EVERY
from tests.service.kitchen import Kitchen, quay_plan


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return quay_plan(tmp_path)


def kinds(kitchen: Kitchen) -> list[type[Event]]:
    return [type(event) for event, _ in kitchen.journal.events()]


def again(kitchen: Kitchen, **more: object) -> Kitchen:
    """The kitchen after a crash, with what had waited in its queue."""
    restarted = Kitchen(kitchen.plan, kitchen.journal, at=kitchen.clock.now(), **more)
    assert restarted.runner.restore()
    restarted.runner.introduce()
    return restarted


def test_that_a_call_was_made_is_kept_before_a_phrase_that_waits(plan: Plan) -> None:
    kitchen = Kitchen(plan)
    kitchen.begin()
    kitchen.type("time the eggs for two minutes")
    kitchen.clock.advance_to(kitchen.clock.now().instant + 180)
    back = again(kitchen)
    before = len(kinds(back))
    words = PhraseHeard(text="what's on", started=back.clock.now().instant, is_typed=True)
    back.put(words)
    new = kinds(back)[before:]
    assert any("Eggs" in text or "eggs" in text for text in back.said)
    assert new.index(Resumed) < new.index(SpeechEnded) < new.index(PhraseHeard)


def test_what_waits_together_is_listened_for_once(plan: Plan) -> None:
    kitchen = Kitchen(plan)
    kitchen.begin()
    asked = len(kitchen.listener.asked)
    for name in ("eggs", "buns", "pears"):
        kitchen.type(f"time the {name} for nine minutes")
    assert len(kitchen.listener.asked) == asked + 3
    now = kitchen.clock.now().instant
    names = ("figs", "plums", "scones")
    words = [f"time the {name} for nine minutes" for name in names]
    kitchen.put(*(PhraseHeard(text=text, started=now, is_typed=True) for text in words))
    assert len(kitchen.listener.asked) == asked + 4
    assert all(kitchen.listener.asked[-1].accepts(f"how long on the {name}") for name in names)


def test_what_a_phrase_changed_is_listened_for_though_a_call_ended_behind_it(plan: Plan) -> None:
    kitchen = Kitchen(plan)
    kitchen.begin()
    words = "time the eggs for nine minutes"
    kitchen.runner.put(PhraseHeard(text=words, started=kitchen.clock.now().instant, is_typed=True))
    kitchen.runner.put(SpeechEnded(utterance=999))
    # One by one: what comes of them waits behind.
    kitchen.mouth.say = lambda *_: None  # type: ignore[method-assign]
    kitchen.runner.run_pending()
    assert kitchen.listener.asked[-1].accepts("how long on the eggs")


def test_a_flood_does_not_keep_the_listener_from_what_is_new(plan: Plan) -> None:
    kitchen = Kitchen(plan)
    kitchen.begin()
    asked, now = len(kitchen.listener.asked), kitchen.clock.now().instant
    names = [f"{size} {thing}" for size in ("small", "large", "round") for thing in ("buns", "figs", "pears")]
    for name in names:
        words = f"time the {name} for nine minutes"
        kitchen.runner.put(PhraseHeard(text=words, started=now, is_typed=True))
    for number in range(2 * PREPARE_EVERY):
        kitchen.runner.put(PhraseHeard(text=f"sing a song {number}", started=now, is_typed=False))
    kitchen.runner.run_pending()
    assert len(kitchen.listener.asked) - asked >= 2


def test_a_phrase_is_never_read_anew_after_a_restart(plan: Plan) -> None:
    snapshots = MemorySnapshots()
    kitchen = Kitchen(plan, MemoryJournal(), snapshots=snapshots)
    kitchen.begin()
    for words in ("time the eggs for nine minutes", "how long on the eggs"):
        kitchen.type(words)
    kept = [event for event, _ in kitchen.journal.events()]
    last = snapshots.last()
    assert last is not None
    assert not any(isinstance(event, PhraseHeard) for event in kept[last.count :])
    assert len(kept) - last.count < SNAPSHOT_EVERY
