"""What fills the slots of the Korean phrasebook beside numbers: things with their particles, directions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from kitchend.core.grammar import Entry, Lexicon
from kitchend.core.languages.ko.hangul import particle
from kitchend.core.languages.ko.numbers import HOUR_S, native, words_of
from kitchend.core.languages.language import Imperative, Weights

ORDINALS = tuple(f"{word} 번째" for word in "첫 두 세 네 다섯 여섯".split())
LAST = "마지막"

CELSIUS, FAHRENHEIT = ("섭씨",), ("화씨",)

COMMON_THINGS = "계란 라면 밥 빵 커피 차 국 찌개 국수 물 오븐 반죽 죽 고구마 만두".split()
"""What cooks put a timer on that no plan names."""

TIMER = "타이머"
CHORES = ("오븐 확인", "빵 뒤집기", "국 젓기", "물 끄기", "상 차리기", "창문 열기")
"""What cooks want to be reminded of that no plan names."""

_LESS, _RARE = 0.5, 0.2

MORE = Lexicon([Entry("조금 더", 120, _RARE), Entry("잠깐 더", 60, _RARE)])
"""More time in words that have no number of minutes in them."""

WAYS = Lexicon([Entry("늦게", 1, 2.0), Entry("일찍", -1), Entry("뒤에", 1, _RARE)])
SHIFTS = Lexicon(
    [Entry(word, 1) for word in ("늦춰", "미뤄", "늦춰 줘", "미뤄 줘")]
    + [Entry(word, -1) for word in ("당겨", "앞당겨", "당겨 줘", "앞당겨 줘")]
)
"""Which way the pass is moved: 1 is later, -1 earlier."""

FRACTIONS = Lexicon([Entry(f"점 {words_of(n)}", n / 10) for n in range(10)])
"""Parts of a degree; read when typed, not listened for."""

_SHAPES = {"{group}_o": ("을", "를"), "{group}_s": ("이", "가"), "{group}_t": ("은", "는")}


def further(durations: Sequence[Entry]) -> Lexicon:
    """Durations are said the same where time is added."""
    return Lexicon(durations)


def spans(minutes: Iterable[int], hours: Iterable[int], weights: Mapping[int, float]) -> Lexicon:
    """Durations as they stand before a word: 십 분짜리."""
    plain = [Entry(f"{words_of(n)} 분짜리", 60 * n, weights.get(n, 1.0)) for n in minutes]
    return Lexicon([*plain, *(Entry(f"{native(n)} 시간짜리", HOUR_S * n) for n in hours)])


def verbed(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names as they are, as object, subject and topic; with the wrong particles too when `is_full`."""
    found = {group: Lexicon(Entry(name, name, weight) for name, weight in weights.items())}
    for key, pair in _SHAPES.items():
        found[key.format(group=group)] = Lexicon(
            Entry(name + form, name, weight)
            for name, weight in weights.items()
            for form in (pair if is_full else (particle(name, pair[0]),))
        )
    return found


def named(group: str, weights: Weights, is_full: bool) -> dict[str, Lexicon]:
    """The names as they are and as object."""
    shaped = verbed(group, weights, is_full)
    return {key: shaped[key] for key in (group, f"{group}_o")}


def both_ways(name: str) -> tuple[str, ...]:
    """Korean has no articles to leave out."""
    return (name,)


def reported(thing: str, done: str, is_full: bool) -> tuple[str, ...]:
    """시금치 데쳤어요, 시금치를 데쳤어요."""
    forms = ("을", "를") if is_full else (particle(thing, "을"),)
    return (f"{thing} {done}", *(f"{thing}{form} {done}" for form in forms))


def wholly(thing: str, done: str) -> tuple[str, ...]:
    """Korean says 다 for that, and that is among the usual words."""
    return ()


def going_on(thing: str, doing: str, is_full: bool) -> tuple[str, ...]:
    """시금치를 데치고 있어요."""
    forms = ("을", "를") if is_full else (particle(thing, "을"),)
    return tuple(f"{thing}{form} {doing}" for form in forms)


def past(thing: str, done: str) -> str:
    """시금치는 데쳤어요: of one thing among others."""
    return f"{thing}{particle(thing, '은')} {done}"


def being_done(thing: str, doing: str) -> str:
    """시금치 데치고 있어요."""
    return f"{thing} {doing}"


def chores(things: Sequence[str], actions: Iterable[str]) -> Iterable[str]:
    """창문 열기, the dinner's steps, 밥 확인."""
    return (*CHORES, *actions, *(f"{thing} {verb}" for thing in things for verb in ("확인", "뒤집기")))


def short_answer(parts: Imperative) -> str:
    """뒤집기 for 생선 뒤집기."""
    return parts.verbs[0] if parts.thing else ""


def with_unit(degrees: str) -> str:
    """육십이 도."""
    return f"{degrees} 도"
