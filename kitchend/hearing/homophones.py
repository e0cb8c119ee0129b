"""Words that sound alike whatever they mean: "halve" and "have". English, by PocketSphinx's dictionary.

What is written down freely takes the commoner spelling; that is no sign that something else was said.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from kitchend.core.names import without_articles
from kitchend.hearing.dictionary import Dictionary


@lru_cache(maxsize=1)
def _dictionary() -> Dictionary:
    from pocketsphinx import get_model_path

    return Dictionary(Path(get_model_path("en-us")) / "cmudict-en-us.dict")


@lru_cache(maxsize=256)
def _ways(word: str) -> frozenset[str]:
    return frozenset(_dictionary().phones(word))


def sound_alike(one: str, other: str) -> bool:
    """Whether two texts in lower case are the same to the ear, word by word, articles apart."""
    words, others = without_articles(one).split(), without_articles(other).split()
    pairs = zip(words, others, strict=False)
    return len(words) == len(others) and all(
        word == twin or bool(_ways(word) & _ways(twin)) for word, twin in pairs
    )
