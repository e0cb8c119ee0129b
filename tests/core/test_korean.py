"""Korean by itself: particles, verbs, typed lines, conversations word for word.

Particles and verb forms are those of the standard grammar (National Institute of Korean Language); tables of
kitchen verbs and of ways to say a thing are common practice.
"""

import pytest

from kitchend.core.clock import Instant, Now, TimeOfDay, WallTime
from kitchend.core.commands import (
    AskMissed,
    AskNext,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    HeardIt,
    Hold,
    LetIn,
    MovePassBy,
    MovePassTo,
    No,
    NumberSaid,
    Quiet,
    ReadingSaid,
    RemindIn,
    Said,
    SayAgain,
    StartDinner,
    StepSaid,
    TimeNew,
    Unclear,
    Undo,
    Yes,
)
from kitchend.core.dinner import begin, step
from kitchend.core.effects import Speak
from kitchend.core.events import DinnerStarted
from kitchend.core.intents import understand
from kitchend.core.languages.ko import speech, things
from kitchend.core.languages.ko.hangul import particle, with_particles
from kitchend.core.languages.ko.numbers import native, native_alone
from kitchend.core.languages.ko.speech import count, hours, on_day, when
from kitchend.core.languages.ko.verbs import past_of, shapes, stem_of, taken_apart
from kitchend.core.languages.language import Imperative
from kitchend.core.names import names_of, spoken
from kitchend.core.plan import Plan
from kitchend.core.state import DinnerState, Manners
from kitchend.core.tongue import speaking
from kitchend.core.wording import said_duration, said_time, say
from kitchend.files.plan_yaml import read_plan

PLAN: Plan = read_plan("plans/ko/pine-hill-supper.yaml")
STATE = DinnerState(
    manners=Manners(language="ko", address="안녕 주방"), plan=PLAN, menu=("소나무 언덕 저녁상",)
)


NOW = Now(Instant(0.0), WallTime(1_767_376_800.0))


def meant(text: str) -> Command | Unclear:
    return understand(text, STATE).command


@pytest.mark.parametrize(
    ("word", "forms"),
    [
        ("밥", "밥을 밥이 밥은 밥으로 밥이에요"),
        ("국수", "국수를 국수가 국수는 국수로 국수예요"),
        ("쌀", "쌀을 쌀이 쌀은 쌀로 쌀이에요"),
        ("3", "3을 3이 3은 3으로 3이에요"),
        ("2", "2를 2가 2는 2로 2예요"),
    ],
)
def test_particles_follow_the_last_sound(word: str, forms: str) -> None:
    kinds = ("을", "이", "은", "으로", "이에요")
    assert " ".join(word + particle(word, kind) for kind in kinds) == forms
    assert " ".join(with_particles(f"{word}~{kind}") for kind in kinds) == forms


@pytest.mark.parametrize(
    ("verb", "past"),
    [
        pair.split("/")
        for pair in (
            "굽기/구웠 끓이기/끓였 데치기/데쳤 무치기/무쳤 썰기/썰었 씻기/씻었 뒤집기/뒤집었 "
            "넣기/넣었 자르기/잘랐 볶기/볶았 찌기/쪘 짓기/지었 젓기/저었 붓기/부었 담기/담았 까기/깠 "
            "켜기/켰 끄기/껐 모으기/모았 꺼내기/꺼냈 "
            "두기/뒀 재우기/재웠 삶기/삶았 예열하기/예열했 손질/손질했 돕기/도왔 싣기/실었 "
            "펴기/폈 되기/됐 부르기/불렀 쉬기/쉬었 으깨기/으깼 베기/벴 모르기/몰랐"
        ).split()
    ],
)
def test_verbs_turn_to_their_past(verb: str, past: str) -> None:
    assert past_of(stem_of(verb)) == past


@pytest.mark.parametrize(
    ("name", "verb", "thing"),
    [
        ("시금치 데치기", "데치기", "시금치"),
        ("시금치를 찬물에 헹구기", "헹구기", "시금치"),
        ("오븐에서 생선 꺼내기", "꺼내기", "생선"),
        ("시금치 살짝 데치기", "데치기", "시금치"),
        ("밥 뜸 들이기", "뜸 들이기", "밥"),
        ("뜸 들이기", "들이기", "뜸"),
        ("예열하기", "예열하기", ""),
    ],
)
def test_a_step_comes_apart(name: str, verb: str, thing: str) -> None:
    assert taken_apart(name) == Imperative(verbs=(verb,), thing=thing)


def test_what_has_no_verb_or_no_thing_has_no_shapes() -> None:
    assert taken_apart("") == Imperative(verbs=())
    assert shapes(taken_apart("")).done == ()
    assert shapes(taken_apart("예열하기")).done == ()
    assert stem_of("abc") == ""


def test_hours_are_native_and_the_rest_is_not() -> None:
    with speaking("ko"):
        assert said_time(TimeOfDay(19, 30)) == "일곱 시 반"
        assert said_time(TimeOfDay(12, 5)) == "열두 시 오 분"
        assert said_duration(3600) == "한 시간"
        assert said_duration(2 * 3600 + 1200) == "두 시간 이십 분"
        assert said_duration(5400) == "한 시간 반"
        assert said_duration(30) == "삼십 초"
        assert spoken("2024년 보리차 62") == "이영이사 년 보리차 육십이"
    assert [native(n) for n in (1, 20, 21, 99)] == ["한", "스무", "스물한", "아흔아홉"]
    assert [native_alone(n) for n in (1, 20, 34)] == ["하나", "스물", "서른넷"]
    with pytest.raises(ValueError, match="Sino-Korean"):
        native(100)


def test_days_and_moments_are_said() -> None:
    tomorrow = NOW.wall
    assert count(3, "day") == "사흘"
    assert count(12, "day") == "십이 일"
    assert hours(3, 0) == "세 시간"
    assert on_day(tomorrow, 1).startswith("내일 ")
    assert "요일 " in on_day(tomorrow, 3)
    assert [when("사 분", kind) for kind in ("now", "in", "at")] == ["지금", "사 분 뒤", "사 분에"]


SAID: list[tuple[str, Command]] = [
    ("시금치 데쳤어요", StepSaid(name="시금치 데치기", how=Said.DONE)),
    ("시금치를 데쳤어", StepSaid(name="시금치 데치기", how=Said.DONE)),
    ("시금치데치기", StepSaid(name="시금치 데치기", how=Said.NAME)),
    ("뜸 들였어요", StepSaid(name="뜸 들이기", how=Said.DONE)),
    ("밥 올렸어요", StepSaid(name="밥", how=Said.ON)),
    ("밥을 올렸어", StepSaid(name="밥", how=Said.ON)),
    ("생선 다 됐어요", StepSaid(name="생선", how=Said.DONE)),
    ("다됐어요", StepSaid(name=None, how=Said.DONE)),
    ("밥 얼마나 남았어?", AskTimeLeft(name="밥")),
    ("밥은 몇분 남았어요", AskTimeLeft(name="밥")),
    ("얼마나 남았어", AskTimeLeft(name=None)),
    ("다음 뭐야?", AskNext()),
    ("언제 먹어요", AskPass()),
    ("우리 늦었어?", AskOnTime()),
    ("뭐 놓쳤어", AskMissed()),
    ("다시 말해줘", SayAgain()),
    ("밥 5분 더", GiveTime(name="밥", seconds=300)),
    ("오 분만 더", GiveTime(name=None, seconds=300)),
    ("오 아니 십오 분 더", GiveTime(name=None, seconds=900)),
    ("된장국 이 분 줄여", GiveTime(name="된장국", seconds=-120)),
    ("생선 62도", ReadingSaid(name="생선", degrees=62.0)),
    ("생선은 육십이 도예요", ReadingSaid(name="생선", degrees=62.0)),
    ("생선 62.5°", ReadingSaid(name="생선", degrees=62.5)),
    ("오븐 200도", ReadingSaid(name="오븐", degrees=200.0)),
    ("30분 늦게 먹자", MovePassBy(seconds=1800)),
    ("상차림 십 분 당겨", MovePassBy(seconds=-600)),
    ("7시 반에 먹자", MovePassTo(time=TimeOfDay(7, 30))),
    ("19:30에 먹자", MovePassTo(time=TimeOfDay(19, 30))),
    ("저녁 일곱 시에 차려", MovePassTo(time=TimeOfDay(19, 0))),
    ("계란 타이머 구분", TimeNew(name="계란", seconds=540)),
    ("타이머 십 분", TimeNew(name="타이머", seconds=600)),
    ("십 분 뒤에 창문 열기 알려 줘", RemindIn(seconds=600, what="창문 열기")),
    ("3분 뒤에 개밥 주기 알려줘", RemindIn(seconds=180, what="개밥 주기")),
    ("소나무 언덕 저녁상 시작해", StartDinner(plan="소나무 언덕 저녁상")),
    ("된장국 멈춰", Hold(name="된장국")),
    ("국을 잠깐 멈춰", Hold(name="국")),
    ("국 계속해", CarryOn(name="국")),
    ("시금치 나물 빼줘", Drop(name="시금치나물")),
    ("취소해줘", Undo()),
    ("조용히", Quiet()),
    ("알았어", HeardIt()),
    ("네", Yes()),
    ("아니요", No()),
    ("아니요 십오분", NumberSaid(words="십오 분")),
    ("태블릿 들여보내 줘", LetIn()),
]  # fmt: skip


@pytest.mark.parametrize(("text", "command"), SAID, ids=[text for text, _ in SAID])
def test_what_is_said_is_meant(text: str, command: Command) -> None:
    assert meant(text) == command


@pytest.mark.parametrize("text", ["25:99에 먹자", "날씨 좋네", "밥 밥 밥", "가" * 200, "1시간 1시간", "99시"])
def test_what_is_no_command_is_unclear(text: str) -> None:
    assert isinstance(meant(text), Unclear)


def test_sentences_fit_what_is_filled_in() -> None:
    with speaking("ko"):
        assert say("drop?", step="국수") == "국수를 뺄까요?"
        assert say("drop?", step="밥") == "밥을 뺄까요?"
        assert say("pass", when="일곱 시 반") == "상차림은 일곱 시 반이에요."
        assert say("pass", when="일곱 시") == "상차림은 일곱 시예요."


def test_names_are_those_of_the_language() -> None:
    actions = names_of(STATE).actions
    assert actions["생선 굽기"].done == ("구웠어요", "구웠어", "다 구웠어요")
    assert actions["생선 굽기"].doing == ("굽고 있어요",)
    assert names_of(STATE).meaning("나물").dish == names_of(STATE).meaning("시금치나물").dish


def test_a_plan_of_another_language_is_refused_aloud() -> None:
    state = begin(Manners())
    event = DinnerStarted(plan=PLAN, serve=NOW.wall, timeline=None, source="")  # type: ignore[arg-type]  # never looked at
    new, effects = step(state, event, NOW)
    assert new.plan is None
    assert [effect.text for effect in effects if isinstance(effect, Speak)] == [
        "소나무 언덕 저녁상 is written for another language. Set it in the settings."
    ]


def test_spans_lists_and_choices_are_said() -> None:
    assert speech.count(2, "day") == "이틀"
    assert speech.count(3, "year") == "삼 년"
    assert speech.tally(2) == "두"
    assert speech.span("한 시간", "두 시간") == "한 시간에서 두 시간"
    assert speech.minutes_span(70, 85) == "칠십에서 팔십오 분"
    assert speech.half_hours_span(12, 15) == "여섯 시간에서 일곱 시간 반"
    assert speech.at_most("오 분") == "길어야 오 분"
    assert (speech.degrees(62), speech.degrees(-5)) == ("육십이", "영하 오")
    assert speech.listed(("밥", "된장국")) == "밥, 된장국"
    assert speech.choices(("굽기", "뒤집기")) == "굽기, 아니면 뒤집기"
    assert speech.choices(("굽기",)) == "굽기"
    assert (speech.be("생선"), speech.capital("생선")) == ("", "생선")
    assert things.short_answer(Imperative(verbs=("뒤집기",), thing="생선")) == "뒤집기"
    assert things.short_answer(Imperative(verbs=("뒤집기",))) == ""
    assert things.with_unit("육십이") == "육십이 도"
    assert things.being_done("시금치", "데치고 있어요") == "시금치 데치고 있어요"
