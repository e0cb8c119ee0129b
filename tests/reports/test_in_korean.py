"""All that is read of Korean plans (check, timeline, sheet, picture, calendar, status): no English in it.

Units (C, F) and the keys of a plan file are the same in every language; so are the words of file formats.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from datetime import datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path

import pytest
from rich.cells import cell_len

from kitchend.core.state import Manners
from kitchend.core.tongue import speaking
from kitchend.files.plan_yaml import read_plan
from kitchend.reports.soundcheck import Repeated, SoundCheck
from kitchend.reports.status import status_json, status_text
from kitchend.reports.wrapping import WIDTH
from kitchend.service.checking import check
from kitchend.service.outlook import Exports, outlook
from kitchend.service.settings import Settings
from tests.service.kitchen import Kitchen

PLAN = Path("plans/ko/pine-hill-supper.yaml")
UNITS = {"C", "F"}

CROWDED = """
plan: 언덕 저녁
language: ko
equipment:
  오븐: {shelves: 2}
dishes:
  - dish: 고구마
    steps:
      - step: 고구마 굽기
        hands: 5 min
        takes: 30 min
        in: 오븐 at 220 C
        keeps: 3 min
  - dish: 생선
    steps:
      - step: 생선 굽기
        hands: 5 min
        takes: 20 min
        in: 오븐 at 160 C
        keeps: 3 min
"""
HANDS = """
plan: 언덕 저녁
language: ko
dishes:
  - dish: 나물
    steps:
      - step: 나물 무치기
        hands: 12 min
        keeps: 1 min
  - dish: 전
    steps:
      - step: 전 부치기
        hands: 12 min
        keeps: 1 min
  - dish: 국
    steps:
      - step: 국 담기
        hands: 9 min
        keeps: 2 min
"""
PLANS = {"oven": CROWDED, "hands": HANDS}
DOUBTFUL = """
plan: 언덕 저녁
language: ko
people: 4
cooks: [미라, 요한]
equipment:
  오븐: {shelves: 2}
  찜기: {tiers: 2}
  숯불 그릴: {places: 1}
dishes:
  - dish: 돼지고기
    steps:
      - step: 고기 손질하기
        hands: 5 min
        raw: 돼지고기
        keeps: 3 h
      - step: 고기 굽기
        hands: 1 min
        takes: 60 to 90 min
        until: 57 C inside
        in: "오븐, 2 shelves at 160 C"
        keeps: 5 min
        look for: 살이 단단한가
      - step: 고기 두기
        takes: 5 h
        in: 오븐 at 50 C
        keeps: 5 min
      - step: 고기 식히기
        takes: 5 h
        until: 20 C inside
        keeps: 5 min
      - step: 고기 썰기 2
        hands: 3 min
        keeps: all day
  - dish: 겉절이
    steps:
      - step: 배추 썰기
        hands: 5 min
        keeps: 2 h
      - step: 겉절이 무치기
        hands: 5 min
        keeps: 1 min
  - dish: 국
    steps:
      - step: 국 데우기
        takes: 3 h
        hands: 1 min
        until: 120 C inside
        in: 숯불 그릴 at 400 C
        keeps: 5 min
  - dish: 나물
    steps:
      - step: 국 데우기
        takes: 3 h
        hands: 1 min
        keeps: 5 min
say: {없는말: 있는 말}
"""
FORMATS = {
    "svg": {"svg", "xml", "version", "encoding", "UTF"},
    "ics": set(
        """BEGIN END VCALENDAR VERSION PRODID kitchend timeline KO CALSCALE GREGORIAN X WR CALNAME VEVENT
        UID DTSTAMP DTSTART DTEND SUMMARY CATEGORIES LOCATION DESCRIPTION TRANSP OPAQUE TRANSPARENT""".split()
    ),
}
"""The words of the formats themselves."""


def english(text: str, known: Iterable[str] = ()) -> list[str]:
    """Latin words that are no units and no keys, which stand in backticks, nor paragraphs "(B)"."""
    bare = re.sub(r"`[^`]*`|\([A-Z]\)", "", text)
    return [word for word in re.findall("[A-Za-z]+", bare) if word not in {*UNITS, *known}]


def shown(plan: Path, *serves: str) -> str:
    lines: list[str] = []
    outlook([plan], serves, Settings(), exports=Exports(), as_json=False, show=lines.append)
    return "\n".join(lines)


def test_the_timeline_of_the_demo_plan_is_korean_within_the_width() -> None:
    text = shown(PLAN)
    assert "상차림 시각을 정하는 순서" in text
    assert english(text) == []
    assert max(map(cell_len, text.splitlines())) <= WIDTH


def test_a_pass_on_another_day_is_told_in_korean() -> None:
    told = shown(PLAN, "tomorrow 19:00")
    assert "상차림 내일 19:00" in told
    assert english(told) == []


@pytest.mark.parametrize("text", PLANS.values(), ids=PLANS)
def test_what_collides_and_what_would_help_is_told_in_korean(tmp_path: Path, text: str) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text(text, encoding="utf-8")
    told = shown(plan, "19:00")
    assert "! " in told
    assert english(told) == []


def test_check_sums_up_in_korean() -> None:
    lines: list[str] = []
    assert check([PLAN], as_json=False, show=lines.append) == 0
    assert english("\n".join(lines).removeprefix(f"{PLAN}")) == []
    assert "음식 4가지, 순서 10개" in lines[0]


@pytest.fixture
def doubtful(tmp_path: Path) -> Path:
    plan = tmp_path / "plan.yaml"
    plan.write_text(DOUBTFUL, encoding="utf-8")
    return plan


def test_every_doubt_of_a_korean_plan_is_korean(doubtful: Path) -> None:
    lines: list[str] = []
    assert check([doubtful], as_json=True, show=lines.append) == 0
    told = json.loads("\n".join(lines))
    doubts = [(one["message"], one["hint"]) for one in told["warnings"]]
    assert len(doubts) >= 14
    assert [words for doubt in doubts for words in doubt if english(words)] == []
    assert english(told["caution"]) == []


class Text(HTMLParser):
    """What is read of a page or a picture: its text, without the style."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self._is_style = False
        self.feed(source)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._is_style = tag == "style"

    def handle_data(self, data: str) -> None:
        if not self._is_style:
            self.words.append(data)


def exported(plan: Path, suffix: str, serve: str = "23:00") -> str:
    files = {"svg": None, "html": None, "ics": None, suffix: plan.with_suffix(f".{suffix}")}
    exports = Exports(svg=files["svg"], sheet=files["html"], ics=files["ics"])
    outlook([plan], (serve,), Settings(), exports=exports, as_json=False, show=lambda text: None)
    return plan.with_suffix(f".{suffix}").read_text(encoding="utf-8")


@pytest.mark.parametrize("suffix", ["html", "svg"])
def test_sheet_and_picture_are_korean(doubtful: Path, suffix: str) -> None:
    page = exported(doubtful, suffix)
    words = Text(page).words
    assert len(words) > 40
    assert [word for word in words if english(word)] == []
    assert suffix != "html" or 'lang="ko"' in page


def test_the_calendar_is_korean(doubtful: Path) -> None:
    text = exported(doubtful, "ics").replace("\r\n ", "").replace("\n ", "").replace("\\n", " ")
    lines = [line for line in text.splitlines() if not line.startswith(("UID", "DT"))]
    assert len(lines) > 40
    assert [line for line in lines if english(line, FORMATS["ics"])] == []


def test_the_status_is_korean() -> None:
    manners = Manners(language="ko", address="안녕 주방")
    kitchen = Kitchen(read_plan(PLAN), manners=manners)
    kitchen.begin()
    for line in ("쌀 씻기", "생선 굽기 시작했어요", "생선 사십 도", "타이머 칠 분", "나물 빼 줘"):
        kitchen.type(line)
    shape = status_json(kitchen.runner.state, kitchen.clock.now())
    lost = {"of": "생선", "celsius": 41.0, "age_s": 70, "works": None, "why": ""}
    told = status_text({**shape, "thermometers": [lost]})
    assert shape["language"] == "ko"
    assert len(told.splitlines()) >= 8
    assert english(told) == []
    assert (
        english(
            status_text({"plan": None, "language": "ko", "going": [], "next": [], "timers": [], "asked": ""})
        )
        == []
    )


def test_the_soundcheck_is_korean() -> None:
    bad = SoundCheck(
        input="마이크",
        output="스피커",
        noise_db=-20.0,
        echo_db=-30.0,
        speech_db=-50.0,
        clipped=0.2,
        round_trip_s=None,
        way_db=3.0,
        phrases=(Repeated(asked="다음 뭐야", heard="", reason="too short"),),
    )
    good = SoundCheck(
        input="마이크",
        output="스피커",
        noise_db=-60.0,
        echo_db=-20.0,
        speech_db=-20.0,
        clipped=0.0,
        round_trip_s=0.04,
        phrases=(
            Repeated(asked="다음 뭐야", heard="다음 뭐야", reason=""),
            Repeated(asked="다음 뭐야", heard="언제 먹어", reason=""),
        ),
    )
    with speaking("ko"):
        told = "\n".join([*bad.lines(), *good.lines()])
    assert len(told.splitlines()) >= 12
    assert english(told, {"dB", "ms"}) == []


@pytest.mark.parametrize("suffix", ["html", "svg"])
@pytest.mark.parametrize("serve", ["00:30", "12:00"])
def test_past_midnight_too(doubtful: Path, suffix: str, serve: str) -> None:
    day = datetime.now().astimezone() + timedelta(days=2)
    words = Text(exported(doubtful, suffix, f"{day:%Y-%m-%d}T{serve}")).words
    assert [word for word in words if english(word)] == []
    assert suffix != "svg" or any(word.endswith("요일") for word in words)
