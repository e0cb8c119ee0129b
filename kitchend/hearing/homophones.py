"""Words that sound alike, or nearly, whatever they mean: "halve" and "have". English, by PocketSphinx's
dictionary.

What is written down freely takes the commoner spelling; that is no sign that something else was said.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from kitchend.core.names import without_articles
from kitchend.hearing.dictionary import Dictionary
from kitchend.hearing.phones import distance

NEARLY = 1.6
"""What may be changed between commands that sound nearly alike: "stop" for "start", "rest" for "baste"."""
_MOST = 0.75
"""Of a phone each: more is another word altogether."""


@lru_cache(maxsize=1)
def _dictionary() -> Dictionary:
    from pocketsphinx import get_model_path

    return Dictionary(Path(get_model_path("en-us")) / "cmudict-en-us.dict")


@lru_cache(maxsize=256)
def _ways(word: str) -> tuple[str, ...]:
    return _dictionary().phones(word)


def sound_alike(one: str, other: str) -> bool:
    """Whether two texts in lower case are the same to the ear, word by word, articles apart."""
    words, others = without_articles(one).split(), without_articles(other).split()
    pairs = zip(words, others, strict=False)
    return len(words) == len(others) and all(
        word == twin or not set(_ways(word)).isdisjoint(_ways(twin)) for word, twin in pairs
    )


def nearly_alike(one: str, other: str) -> bool:
    """Whether what differs between two texts in lower case is a sound or two: "rub it" and "wrap it"."""
    words, others = without_articles(one).split(), without_articles(other).split()
    while words and others and words[0] == others[0]:
        words, others = words[1:], others[1:]
    while words and others and words[-1] == others[-1]:
        words, others = words[:-1], others[:-1]
    sounds, further = _sounds(words), _sounds(others)
    if not sounds or not further:
        return False
    apart, longest = distance(sounds, further), max(len(sounds), len(further))
    return longest > 1 and apart <= NEARLY and apart < _MOST * longest


def _sounds(words: list[str]) -> list[str]:
    """The phones of these words one after the other, each as it is said first; none if one is not known."""
    ways = [_ways(word) for word in words]
    return [phone for way in ways for phone in way[0].split()] if all(ways) else []
