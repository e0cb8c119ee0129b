"""The words of every language for food and for where it is, together.

What a plan's word means does not depend on the language the dinner is run in. No judgement here.
"""

from __future__ import annotations

from kitchend.core.languages import LANGUAGES


def words_for(kind: str) -> tuple[str, ...]:
    """Every word of one kind, a language after another; the kinds are the keys of each language's `foods`."""
    return tuple(word for language in LANGUAGES.values() for word in language.foods[kind].split())


def sets_for(kind: str) -> tuple[frozenset[str], ...]:
    """The same, a set a language, where all its words must be there."""
    return tuple(frozenset(language.foods[kind].split()) for language in LANGUAGES.values())
