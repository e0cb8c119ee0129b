"""How the words of a language are compared when they are read: which are left out, which are alike.

Each language brings its own; a word left out is for the ear only. Which language is spoken is for `tongue`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """`left_out` are words that are never read; `one_form` gives each word the one that stands for it."""

    left_out: frozenset[str] = frozenset()
    one_form: Mapping[str, str] = field(default_factory=dict)

    def units(self, word: str) -> tuple[str, ...]:
        """A word as reading compares it: whole, or syllable by syllable where spaces mean nothing."""
        return tuple(word) if is_syllabic(word) else (self.one_form.get(word, word),)

    def bare(self, text: str) -> str:
        """The text without what is left out."""
        return " ".join(word for word in text.split() if word not in self.left_out)


def is_syllabic(word: str) -> bool:
    """Whether a word is written in syllables (Hangul), which people set apart as they like."""
    return "가" <= word[:1] <= "힣"


def reading() -> Reading:
    """How words are read in the language spoken now."""
    # Languages are built of grammar, which reads: which one is spoken is known only once all are there.
    from kitchend.core.tongue import tongue

    return tongue().reading
