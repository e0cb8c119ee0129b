"""What goes wrong in a Korean dinner is told in Korean: microphone, loudspeaker, disk, clock, plan."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import words_in
from kitchend.core.events import (
    ClockMoved,
    DinnerRefused,
    DoorWordsMade,
    Event,
    Mishap,
    MishapNoticed,
    Resumed,
)
from kitchend.core.state import Manners
from kitchend.core.tongue import language_of
from kitchend.files.plan_yaml import read_plan
from kitchend.service.house import in_language
from tests.service.kitchen import Kitchen

PLAN = Path("plans/ko/pine-hill-supper.yaml")
EVENTS: dict[str, Event] = {
    **{mishap.value: MishapNoticed(mishap=mishap) for mishap in Mishap},
    "clock on": ClockMoved(by_s=3600),
    "clock back": ClockMoved(by_s=-3600),
    "summer time": ClockMoved(by_s=0, zone_s=3600),
    "a power cut": Resumed(away_s=600),
    "a power cut, the clock wrong": Resumed(away_s=None),
    "no door": DoorWordsMade(words=""),
    "no plan": DinnerRefused(message="이런 이름의 계획은 없어요: 저녁상"),
}


@pytest.fixture
def kitchen() -> Kitchen:
    kitchen = Kitchen(read_plan(PLAN), manners=Manners(language="ko", address=language_of("ko").address))
    kitchen.begin()
    kitchen.type("오븐 시작했어요")
    return kitchen


@pytest.mark.parametrize("name", EVENTS)
def test_what_is_said_of_it_has_no_latin_letter(kitchen: Kitchen, name: str) -> None:
    before = len(kitchen.said)
    kitchen.runner.put(EVENTS[name])
    kitchen.runner.run_pending()
    kitchen.wait(60)
    said = [str(one) for one in kitchen.said[before:]]
    assert said, "it has to be told"
    assert [words for words in said if re.search("[A-Za-z]", words)] == []


@pytest.mark.parametrize(("hears", "speaks"), [(False, True), (True, False), (False, False)])
def test_the_board_tells_of_it_without_a_latin_letter(kitchen: Kitchen, hears: bool, speaks: bool) -> None:
    for mishap in (Mishap.CANNOT_HEAR, Mishap.CANNOT_SPEAK, Mishap.NOT_KEPT):
        kitchen.runner.put(MishapNoticed(mishap=mishap))
    kitchen.runner.run_pending()
    kitchen.wait(60)
    watcher = Watcher(hears=hears, speaks=speaks)
    view = view_of_dinner(kitchen.runner.state, kitchen.clock.now(), watcher, words_in("ko"))
    shown = [text for text in texts(json.loads(json.dumps(view))) if " " in text]
    assert len(shown) > 5
    assert [text for text in shown if re.search("[A-Za-z]{2}", re.sub(r"\\d+ ?[CF]\\b", "", text))] == []


def texts(value: object, key: str = "") -> Iterator[str]:
    """Every text of a view that is shown: identities are not."""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from texts(one, name)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one, key)
    elif isinstance(value, str) and key not in {"id", "step", "kind", "state", "at", "until"}:
        yield value


def test_lines_beside_the_dinner_are_korean() -> None:
    lines: list[str] = []
    complain = in_language("ko", lines.append)
    complain(
        "microphone: it gives no sound any more; check that it is plugged in, then try: kitchend soundcheck"
    )
    complain("database or disk is full")
    assert lines == [
        "마이크: 더는 소리가 들어오지 않아요; 꽂혀 있는지 보고 `kitchend soundcheck` 해 보세요",
        "디스크가 가득 찼어요",
    ]
