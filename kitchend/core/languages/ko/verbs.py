"""Takes a Korean step's name apart and turns its verb: 시금치 데치기 is 시금치, 데쳤어요, 데치고 있어요.

A step is named by a verb's form in -기 at its end. Rules of the verb's past with the irregular verbs kitchens
use (standard grammar of the National Institute of Korean Language). A name without such a verb (뜸, 상차림)
still comes apart: its last word is taken for one that is done with 하-.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitchend.core.languages.ko.hangul import is_hangul, joined, parts
from kitchend.core.languages.ko.numbers import words_of
from kitchend.core.languages.language import Imperative, Shapes
from kitchend.core.languages.writing import PLAIN

LETTERS = PLAIN
WORD = re.compile(r"\d+|[a-z][a-z']*|[가-힣]+")

_PLACES = ("에서", "에다", "에", "으로", "로", "까지", "부터", "처럼")
_ADVERBS = frozenset(
    "잘 다시 살짝 푹 바싹 한번 조금 골고루 따로 바로 미리 천천히 약하게 세게 얇게 곱게 먼저 더 꼭".split()
)
_OF_VERBS = frozenset("뜸 간 물기 불 숨 기름".split())  # 밥 뜸 들이기: the thing is 밥
_OBJECT = ("을", "를")

# Verbs in ㅂ whose final turns to 우 (굽다, 눕다, 덥다); 씹다, 집다, 뽑다, 접다 do not.
_P_IRREGULAR = frozenset("굽 눕 돕 줍 무겁 뜨겁 차갑".split())
_T_IRREGULAR = frozenset("싣 붇 긷".split())  # ㄷ turns to ㄹ: 실었어요
_S_IRREGULAR = frozenset("긋 붓 젓 짓 잇 낫".split())  # ㅅ falls: 저었어요, 부었어요

_A, _AE, _EO, _E, _YEO, _O, _WA, _WAE, _OE = 0, 1, 4, 5, 6, 8, 9, 10, 11
_U, _WO, _EU, _I = 13, 14, 18, 20
_RIEUL, _SS = 8, 20  # finals
_R_INITIAL = 5
_CONTRACTED = {_O: _WA, _U: _WO, _I: _YEO, _OE: _WAE}


def taken_apart(name: str) -> Imperative:
    """The parts of a spoken step name; the thing is what stands before the verb, without places."""
    words = name.split()
    if not words:
        return Imperative(verbs=())
    before, verb = words[:-1], words[-1]
    if len(before) > 1 and before[-1] in _OF_VERBS:
        before, verb = before[:-1], f"{before[-1]} {verb}"
    marked = next((i for i, word in enumerate(before) if len(word) > 1 and word.endswith(_OBJECT)), None)
    kept = before if marked is None else before[: marked + 1]
    thing = [word for word in kept if not _is_aside(word)]
    if thing and marked is not None:
        thing[-1] = before[marked][:-1]
    return Imperative(verbs=(verb,), thing=" ".join(thing))


def _is_aside(word: str) -> bool:
    """Whether a word says where or how rather than what."""
    if word in _ADVERBS:
        return True
    return len(word) > 2 and word.endswith(_PLACES)


def shapes(parts_: Imperative) -> Shapes:
    """데쳤어요, 데쳤어, 다 데쳤어요; 데치고 있어요."""
    stem = stem_of(parts_.verbs[0]) if parts_.verbs else ""
    if not stem or not parts_.thing:
        return Shapes()
    past = past_of(stem)
    return Shapes(done=(f"{past}어요", f"{past}어", f"다 {past}어요"), doing=(f"{stem}고 있어요",))


def stem_of(verb: str) -> str:
    """The stem of a verb in -기; a noun is done with 하-. Empty for what is no Hangul."""
    if not verb or not all(map(is_hangul, verb.replace(" ", ""))):
        return ""
    return verb[:-1] if len(verb) > 1 and verb.endswith("기") else f"{verb}하"


def past_of(stem: str) -> str:
    """The stem of the past: 데치 -> 데쳤, 굽 -> 구웠, 끓이 -> 끓였, 자르 -> 잘랐, 하 -> 했."""
    before, last = stem[:-1], stem[-1]
    initial, vowel, final = parts(last)
    if last == "하":
        return before + "했"
    if last in _P_IRREGULAR or stem in _P_IRREGULAR:
        after = "왔" if last == "돕" else "웠"
        return before + joined(initial, vowel, 0) + after
    if last in _S_IRREGULAR:
        return before + joined(initial, vowel, 0) + _added(vowel)
    if last in _T_IRREGULAR:
        return before + joined(initial, vowel, _RIEUL) + _added(vowel)
    if final:
        return stem + _added(vowel)
    if last == "르" and before:
        return _doubled(before)
    return before + _open(initial, vowel, before)


def _added(vowel: int) -> str:
    """A syllable of its own after a consonant: 았 after ㅏ and ㅗ, else 었."""
    return "았" if vowel in (_A, _O) else "었"


def _open(initial: int, vowel: int, before: str) -> str:
    """A last syllable without final, drawn together with 았 or 었."""
    if vowel == _EU:
        is_bright = bool(before) and parts(before[-1])[1] in (_A, _O)
        return joined(initial, _A if is_bright else _EO, _SS)
    if vowel in (_A, _EO, _AE, _E, _YEO):
        return joined(initial, vowel, _SS)
    if vowel in _CONTRACTED:
        return joined(initial, _CONTRACTED[vowel], _SS)
    return joined(initial, vowel, 0) + "었"


def _doubled(before: str) -> str:
    """자르- and 고르-: a ㄹ more before 랐 or 렀."""
    initial, vowel, _ = parts(before[-1])
    is_bright = vowel in (_A, _O)
    return before[:-1] + joined(initial, vowel, _RIEUL) + joined(_R_INITIAL, _A if is_bright else _EO, _SS)


def ends(name: str) -> Iterator[str]:
    """What is left of a thing's name without its first word, its first two, …"""
    words = name.split()
    yield from (" ".join(words[i:]) for i in range(1, len(words)))


def written_number(token: str) -> str:
    """육십이 for 62; what is longer than three digits is said digit by digit."""
    return words_of(int(token)) if len(token) < 4 else "".join(words_of(int(digit)) for digit in token)
