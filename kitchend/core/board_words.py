"""What stands on the board, in any language: labels, states, sentences. What is spoken is in `wording`.

A key is a fact or a place on the board. Braces are filled in by whoever shows the fact, here or in the page.
Each language has its own table with the same keys; a test compares them.
"""

from __future__ import annotations

from collections.abc import Mapping

from kitchend.core.languages import LANGUAGES
from kitchend.core.tongue import language_of

TABLES: Mapping[str, Mapping[str, str]] = {tag: language.board for tag, language in LANGUAGES.items()}
"""The languages there are, by their BCP 47 tag."""

ENGLISH = TABLES["en"]


def words_in(language: str) -> Mapping[str, str]:
    """The table for a language; English where there is none."""
    return language_of(language).board


def shown_span(seconds: float, words: Mapping[str, str]) -> str:
    """A stretch of time as it stands on the board: "45 s", "12 min", "1 h 5 min"; never below zero."""
    whole = max(0, round(seconds))
    if whole < 60:
        return words["seconds"].format(s=whole)
    minutes = round(whole / 60)
    if minutes < 60:
        return words["minutes"].format(m=minutes)
    return words["hours"].format(h=minutes // 60, m=minutes % 60)
