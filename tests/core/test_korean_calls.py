"""How calls are said in Korean, word for word: one, several in one breath, late, ahead; lengths and times."""

from __future__ import annotations

import pytest

from kitchend.core import wording, wording_calls
from kitchend.core.clock import TimeOfDay
from kitchend.core.plan import EquipmentId, Step, Use
from kitchend.core.quantities import DurationRange, Temperature
from kitchend.core.tongue import speaking
from tests.core.evening import a_step, minutes

GREENS = a_step("시금치 데치기", "나물", minutes(4), hands_s=60)
BEANS = a_step("콩들 삶기", "콩들", minutes(60), hands_s=60)
PIE = a_step(
    "호박 굽기",
    "호박",
    minutes(90),
    hands_s=60,
    uses=(Use(equipment=EquipmentId("오븐"), at=Temperature(degrees=200)),),
    look_for="젓가락이 쑥 들어가나",
)
PORK = a_step("고기 훈제하기", "고기", minutes(720), hands_s=60, until=Temperature(degrees=68))
SALT = a_step("나물 무치기", "나물", DurationRange(low_s=20, high_s=20), hands_s=20)

NOW: dict[str, tuple[Step, str]] = {
    "several minutes": (GREENS, "시금치 데치기, 지금이에요. 사 분."),
    "one hour, and a name of several things": (BEANS, "콩들 삶기, 지금이에요. 한 시간."),
    "an oven and an hour and a half": (PIE, "호박 굽기, 지금이에요, 오븐 이백 도. 한 시간 반."),
    "until a reading, twelve hours": (
        PORK,
        "고기 훈제하기, 지금이에요, 속 온도 육십팔 도까지. 열두 시간.",
    ),
    "a moment's work": (SALT, "나물 무치기, 지금이에요."),
}


@pytest.mark.parametrize(("step", "expected"), NOW.values(), ids=NOW)
def test_one_thing_is_due(step: Step, expected: str) -> None:
    with speaking("ko"):
        assert wording.now_call(step) == expected


def test_one_thing_is_up_late_or_about_to_spoil() -> None:
    with speaking("ko"):
        assert wording.up_call(GREENS) == "시금치, 다 됐어요."
        assert wording.up_call(PIE) == "호박, 다 됐어요. 젓가락이 쑥 들어가나?"
        assert wording.up_call(BEANS, late_s=240) == "콩들, 사 분 전에 다 됐어요."
        assert wording.now_call(GREENS, late_s=120) == "시금치 데치기, 이 분 늦었어요. 사 분."
        assert wording.careful_call(GREENS, late_s=0) == "조심하세요. 시금치 데치기."


TOGETHER = {
    "two up": (["밥", "계란"], [], "밥, 계란, 다 됐어요."),
    "one up, one due": (["밥"], ["빵 뒤집기"], "밥, 다 됐어요. 그다음, 빵 뒤집기."),
    "two due": ([], ["무 뒤집기", "닭 바르기"], "두 가지예요. 무 뒤집기, 그다음 닭 바르기."),
    "four due": (
        [],
        ["무치기", "뒤집기", "썰기", "담기"],
        "네 가지예요. 무치기, 그다음 뒤집기, 그다음 썰기, 그다음 담기.",
    ),
}


@pytest.mark.parametrize(("up", "acts", "expected"), TOGETHER.values(), ids=TOGETHER)
def test_several_things_are_called_at_once(up: list[str], acts: list[str], expected: str) -> None:
    with speaking("ko"):
        assert wording_calls.things(up, acts) == expected


MISSED = {
    "nothing": ([], [], "놓친 게 없어요."),
    "one up": (["밥"], [], "밥, 아직 그대로예요."),
    "one due": ([], ["시금치 데치기"], "시금치 데치기."),
    "both": (["밥", "계란"], ["빵 썰기"], "밥, 계란, 아직 그대로예요. 그다음, 빵 썰기."),
}


@pytest.mark.parametrize(("up", "acts", "expected"), MISSED.values(), ids=MISSED)
def test_what_was_missed(up: list[str], acts: list[str], expected: str) -> None:
    with speaking("ko"):
        assert wording_calls.missed(up, acts) == expected


def test_warnings() -> None:
    with speaking("ko"):
        assert wording_calls.soon_call(GREENS, "", in_s=118) == "준비하세요. 시금치 데치기, 이 분 뒤예요."
        told = wording_calls.soon_call(PIE, "", in_s=120, out="콩들")
        assert told == "준비하세요. 콩들을 꺼내고 호박 굽기, 이 분 뒤예요."


CLOCK = {
    (19, 30): "일곱 시 반",
    (0, 30): "열두 시 반",
    (12, 0): "열두 시",
    (0, 0): "열두 시",
    (13, 5): "한 시 오 분",
    (23, 45): "열한 시 사십오 분",
}


@pytest.mark.parametrize(("clock", "expected"), CLOCK.items(), ids=map(str, CLOCK))
def test_a_time_of_day_is_said_on_a_clock_of_twelve_hours(clock: tuple[int, int], expected: str) -> None:
    with speaking("ko"):
        assert wording.said_time(TimeOfDay(*clock)) == expected


LENGTHS = {
    1: "일 초",
    60: "일 분",
    120: "이 분",
    3600: "한 시간",
    5400: "한 시간 반",
    7260: "두 시간 일 분",
    9000: "두 시간 반",
    43_200: "열두 시간",
}


@pytest.mark.parametrize(("seconds", "expected"), LENGTHS.items(), ids=map(str, LENGTHS))
def test_a_length_of_time(seconds: int, expected: str) -> None:
    with speaking("ko"):
        assert wording.said_duration(seconds) == expected
