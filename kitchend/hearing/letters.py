"""Words as the letters that the search compares: Hangul as it sounds, in Latin letters; all else as written.

Sounds that ears mix up (plain, tense and aspirated; the seven finals) get letters that the search holds to be
alike. It is no romanisation for people. Pure.
"""

from __future__ import annotations

from functools import lru_cache

_FIRST, _FINALS, _VOWELS = 0xAC00, 28, 21
_INITIAL = "g k n d t l m b p s x _ j z c k t p h".replace("_", "").split(" ")
_VOWEL = "a e ya ye o e yo ye o wa we we yo u wo we wi yu u wi i".split()
_FINAL = (" k k k n n n t l k m p l l p l m p p t t ng t t k t p h").split(" ")


@lru_cache(maxsize=20_000)
def letters_of(word: str) -> str:
    """The letters of a word: 시금치 is "sigumci", "greens" stays as it is."""
    return word if word.isascii() else "".join(map(_sound, word))


def _sound(sign: str) -> str:
    code = ord(sign) - _FIRST
    if not 0 <= code < 11_172:
        return sign
    initial, rest = divmod(code, _VOWELS * _FINALS)
    vowel, final = divmod(rest, _FINALS)
    return _INITIAL[initial] + _VOWEL[vowel] + _FINAL[final]


def length(text: str) -> int:
    """How many letters a text has, spaces between its words included."""
    return sum(map(len, map(letters_of, text))) if not text.isascii() else len(text)
