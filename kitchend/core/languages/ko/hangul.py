"""Hangul taken apart: what a syllable ends in, and which particle therefore follows it.

A precomposed syllable is 0xAC00 + (initial * 21 + vowel) * 28 + final (Unicode, chapter 3.12).
"""

from __future__ import annotations

import re

_FIRST, _FINALS, _VOWELS = 0xAC00, 28, 21
_RIEUL = 8
_SPOKEN_DIGITS = dict(zip("0123456789", "영일이삼사오육칠팔구", strict=True))

_PAIRS = {"을": ("을", "를"), "이": ("이", "가"), "은": ("은", "는"), "이에요": ("이에요", "예요")}
_MARK = re.compile(r"(.?)~(이에요|을|이|은|으로)")


def parts(syllable: str) -> tuple[int, int, int]:
    """Numbers of initial, vowel and final of a syllable; final 0 is none."""
    code = ord(syllable) - _FIRST
    return code // (_VOWELS * _FINALS), code // _FINALS % _VOWELS, code % _FINALS


def joined(initial: int, vowel: int, final: int) -> str:
    """The syllable of these numbers."""
    return chr(_FIRST + (initial * _VOWELS + vowel) * _FINALS + final)


def is_hangul(sign: str) -> bool:
    """Whether a sign is a whole syllable."""
    return "가" <= sign <= "힣"


def final_of(word: str) -> int:
    """The final of a word's last syllable, 0 where it ends in a vowel or is not Hangul."""
    last = _SPOKEN_DIGITS.get(word[-1:], word[-1:])
    return parts(last)[2] if is_hangul(last) else 0


def particle(word: str, of: str) -> str:
    """The form of a particle after a word: 을 or 를, 이 or 가, 은 or 는, 으로 or 로, 이에요 or 예요."""
    final = final_of(word)
    if of == "으로":
        return "로" if final in (0, _RIEUL) else "으로"
    after_consonant, after_vowel = _PAIRS[of]
    return after_consonant if final else after_vowel


def with_particles(sentence: str) -> str:
    """A sentence with each mark (~을, ~이, ~은, ~으로, ~이에요) made the form that fits the word before."""
    return _MARK.sub(lambda found: found[1] + particle(found[1], found[2]), sentence)
