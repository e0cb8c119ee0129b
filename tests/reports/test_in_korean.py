"""Check, timeline and what collides, of Korean plans: no English in what people read; C is the unit."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.cells import cell_len

from kitchend.reports.wrapping import WIDTH
from kitchend.service.checking import check
from kitchend.service.outlook import Exports, outlook
from kitchend.service.settings import Settings

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


def english(text: str) -> list[str]:
    return [word for word in re.findall("[A-Za-z]+", text) if word not in UNITS]


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
