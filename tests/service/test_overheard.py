"""What was said and did not count: told with its reason in the status and, during a dinner, the journal."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import words_in
from kitchend.core.events import Event, PhraseRefused
from kitchend.hearing import Heard
from kitchend.reports.status import status_text
from kitchend.service.desk import RunnerDesk
from kitchend.service.ears import KNOCK, HearingListener
from kitchend.service.memory import SimulatedClock
from kitchend.service.overheard import KEPT, LetGo, Overheard
from tests.service.kitchen import START, Kitchen, quay_plan
from tests.service.test_voicing import QuietEars

TALK = Heard(
    text="drop the rice", accepted=False, reason="explained better as free talk",
    started_s=0, ended_s=1, audio_s=1.5, took_s=0.5,
)  # fmt: skip
WHY = "explained better as free talk"


def ears_at_work(events: list[Event]) -> tuple[HearingListener, QuietEars]:
    listener, ears = HearingListener(), QuietEars()
    listener.start(SimulatedClock(START.wall, START.instant), events.append)
    listener.use(ears)
    return listener, ears


def test_what_the_ears_let_go_is_told_with_its_reason_and_is_no_phrase() -> None:
    events: list[Event] = []
    listener, ears = ears_at_work(events)
    listener.heard(TALK, ears)
    assert events == [PhraseRefused(text="drop the rice", reason=WHY, started=START.instant - 2.0)]
    (one,) = listener.overheard.let_go
    assert one == LetGo(text="drop the rice", reason=WHY, at=START.wall - 2.0)


def test_a_knock_is_no_phrase_that_was_let_go() -> None:
    events: list[Event] = []
    listener, ears = ears_at_work(events)
    listener.heard(Heard(
        text="", accepted=False, reason=KNOCK, started_s=0, ended_s=0, audio_s=0.3, took_s=0
    ), ears)  # fmt: skip
    assert events == []
    assert listener.overheard.let_go == ()


def test_ears_that_others_have_replaced_tell_nothing() -> None:
    events: list[Event] = []
    listener, _ = ears_at_work(events)
    listener.heard(TALK, QuietEars())
    assert events == []
    assert listener.overheard.let_go == ()


def test_what_was_let_go_lately_is_kept_and_no_more_than_that() -> None:
    overheard = Overheard()
    for number in range(KEPT + 3):
        overheard.lets_go(LetGo(text=f"{number}", reason="", at=START.wall))
    assert [one.text for one in overheard.let_go] == [f"{number}" for number in range(3, KEPT + 3)]


def test_during_a_dinner_the_journal_has_it_and_the_dinner_goes_on_unmoved(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    kitchen.begin()
    before = kitchen.runner.state
    assert before.plan is not None
    event = PhraseRefused(text="drop the rice", reason=WHY, started=kitchen.clock.now().instant)
    kitchen.put(event)
    assert [kept for kept, _ in kitchen.journal.events()][-1] == event
    assert kitchen.runner.state == before


def test_while_nothing_is_on_the_journal_stays_as_it_is(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    before = tuple(kitchen.journal.events())
    kitchen.put(PhraseRefused(text="", reason="not addressed", started=kitchen.clock.now().instant))
    assert tuple(kitchen.journal.events()) == before


def test_the_status_says_what_was_let_go_and_why_until_it_is_forgotten(tmp_path: Path) -> None:
    kitchen, overheard = Kitchen(quay_plan(tmp_path)), Overheard()
    desk = RunnerDesk(kitchen.runner, kitchen.clock, overheard=overheard)
    assert desk.status()["let_go"] == []
    assert "let go" not in status_text(desk.status())
    overheard.lets_go(LetGo(text="drop the rice", reason=WHY, at=START.wall))
    overheard.lets_go(LetGo(text="", reason="not addressed", at=START.wall + 60))
    text = status_text(desk.status()).splitlines()
    head = text.index("Heard lately and let go:")
    assert text[head + 1].split() == f"18:00 {WHY} nearest: drop the rice".split()
    assert text[head + 2].split() == "18:01 not addressed".split()
    overheard.forget()
    assert desk.status()["let_go"] == []


@pytest.mark.parametrize("language", ["en", "ko"])
def test_the_status_says_it_in_the_cooks_language(language: str, tmp_path: Path) -> None:
    kitchen, overheard = Kitchen(quay_plan(tmp_path)), Overheard()
    overheard.lets_go(LetGo(text="", reason="not addressed", at=START.wall))
    status = RunnerDesk(kitchen.runner, kitchen.clock, overheard=overheard).status() | {"language": language}
    assert ("not addressed" in status_text(status)) == (language == "en")


def test_the_board_shows_what_is_being_said_while_it_is_said_to_kitchend(tmp_path: Path) -> None:
    kitchen, overheard, news = Kitchen(quay_plan(tmp_path)), Overheard(), []
    watcher = Watcher(hears=True, speaks=True, overheard=overheard)
    watcher.on_news = lambda: news.append(overheard.partial)
    watcher.open()

    def shown() -> object:
        state, now = kitchen.runner.state, kitchen.clock.now()
        return view_of_dinner(state, now, watcher, words_in("en"))["ears"]["hearing"]

    assert shown() is None
    overheard.hears("hold the")
    assert shown() is None, "nobody called kitchend: it shows a conversation, not a room"
    overheard.hears("hey kitchen hold the")
    assert shown() == "Hearing: hey kitchen hold the …"
    overheard.hears("hey kitchen hold the")
    overheard.hears("")
    assert shown() is None
    assert news == ["hold the", "hey kitchen hold the", ""]
    watcher.close()
    overheard.hears("hey kitchen")
    assert len(news) == 3
