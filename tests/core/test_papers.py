"""How times, days and counts are written on tables, in both languages; English as in a plan file."""

from dataclasses import replace

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.papers import (
    counted,
    in_words,
    small_count,
    written_day,
    written_duration,
    written_places,
    written_range,
    written_time,
)
from kitchend.core.plan import Equipment, EquipmentId, PlaceWord, StepId
from kitchend.core.quantities import DurationRange, show_duration, show_range
from kitchend.core.timeline import Planned
from kitchend.core.tongue import speaking

FRIDAY = WallTime(1_767_376_800.0)  # 2 January 2026, 18:00 UTC, by any calendar

SPANS = {
    0: "0분",
    45: "45초",
    600: "10분",
    4800: "1시간 20분",
    -300: "-5분",
    172_800: "2일",
    259_260: "3일 1분",
}


@pytest.mark.parametrize(("seconds", "korean"), SPANS.items())
def test_a_duration_is_written_in_the_language(seconds: int, korean: str) -> None:
    assert written_duration(seconds) == show_duration(seconds)
    with speaking("ko"):
        assert written_duration(seconds) == korean


RANGES = [
    (600, 600, "10분"),
    (840, 1080, "14에서 18분"),
    (18_000, 25_200, "5에서 7시간"),
    (30, 50, "30에서 50초"),
    (6600, 7800, "1시간 50분에서 2시간 10분"),
]


@pytest.mark.parametrize(("low", "high", "korean"), RANGES)
def test_a_guess_is_written_with_both_ends(low: int, high: int, korean: str) -> None:
    span = DurationRange(low_s=low, high_s=high)
    assert written_range(span) == show_range(span)
    with speaking("ko"):
        assert written_range(span) == korean


def test_days_are_written_in_the_language() -> None:
    assert written_day(FRIDAY) == "Friday, 2 January"
    assert written_day(FRIDAY, with_year=True) == "Friday, 2 January 2026"
    with speaking("ko"):
        assert written_day(FRIDAY) == "1월 2일 금요일"
        assert written_day(FRIDAY, with_year=True) == "2026년 1월 2일 금요일"


DAYS_AHEAD = {
    0: ("18:00", "18:00"),
    1: ("18:00 tomorrow", "내일 18:00"),
    4: ("18:00 on Tue 6 Jan", "1월 6일 화요일 18:00"),
}


@pytest.mark.parametrize(("days", "shown"), DAYS_AHEAD.items())
def test_a_time_says_its_day_where_that_is_not_today(days: int, shown: tuple[str, str]) -> None:
    at = FRIDAY + days * 86_400
    assert written_time(at, FRIDAY) == shown[0]
    assert written_time(at, None) == "18:00"
    with speaking("ko"):
        assert written_time(at, FRIDAY) == shown[1]


def test_small_counts_are_words_and_larger_ones_figures() -> None:
    assert [small_count(n) for n in (0, 2, 9, 10)] == ["zero", "two", "nine", "10"]
    assert [in_words(n) for n in (9, 96)] == ["nine", "ninety six"]
    assert [counted(n, "check.dish", "check.dishes") for n in (1, 2)] == ["1 dish", "2 dishes"]
    with speaking("ko"):
        assert [small_count(n) for n in (2, 12)] == ["두", "12"]
        assert [in_words(n) for n in (9, 96)] == ["아홉", "구십육"]


PLACES = [
    (PlaceWord.SHELVES, 1, "1 shelf", "선반 1개"),
    (PlaceWord.SHELVES, 3, "3 shelves", "선반 3개"),
    (PlaceWord.RINGS, 1, "1 ring", "화구 1개"),
    (PlaceWord.RINGS, 4, "4 rings", "화구 4개"),
    (PlaceWord.TIERS, 1, "1 tier", "1단"),
    (PlaceWord.TIERS, 2, "2 tiers", "2단"),
    (PlaceWord.PLACES, 1, "1 place", "1자리"),
    (PlaceWord.PLACES, 2, "2 places", "2자리"),
]


@pytest.mark.parametrize(("word", "places", "english", "korean"), PLACES)
def test_places_are_called_what_the_plan_calls_them(
    word: PlaceWord, places: int, english: str, korean: str
) -> None:
    item = Equipment(id=EquipmentId("it"), name="it", places=places, word=word)
    assert written_places(item, f"{places}") == english
    with speaking("ko"):
        assert written_places(item, f"{places}") == korean


def test_a_step_that_decides_any_pass_is_critical() -> None:
    place = Planned(step=StepId("boil"), start=FRIDAY, end=FRIDAY + 60)
    assert not place.is_critical
    assert replace(place, decides=(0,)).is_critical
    assert replace(place, decides=(1800, 0)).is_critical
