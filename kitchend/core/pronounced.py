"""How the words of a plan are to be spoken, where the cook wrote it down: `say:` in the plan.

For the ear only: what is shown, kept and understood stays as it is written. Whole words are replaced, the
longest first, and what was put in is not looked at again.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from kitchend.core.names import spoken
from kitchend.core.plan import Plan

Sayings = tuple[tuple[str, str], ...]
"""Words as they are written, each with how it is said."""


def pronounced(text: str, plan: Plan | None) -> str:
    """The text as it is to be spoken; as it is without a plan that says otherwise."""
    return text if plan is None else said_as(text, plan.say)


def said_as(text: str, sayings: Sayings) -> str:
    """The text with every word that has a saying spoken so. Accents and large letters make no difference."""
    if not sayings:
        return text
    pattern, said = _made(sayings)
    return pattern.sub(lambda found: said[_key(found[0])], text)


@lru_cache(maxsize=8)
def _made(sayings: Sayings) -> tuple[re.Pattern[str], Mapping[str, str]]:
    """One pattern for all, and what stands for what it finds."""
    said: dict[str, str] = {}
    for word, saying in sayings:
        # A name comes as the plan has it, or as kitchend itself says it.
        said.setdefault(_key(word), saying)
        said.setdefault(_key(spoken(word)), saying)
    longest_first = sorted(filter(None, said), key=len, reverse=True)
    words = "|".join(r"\s+".join(map(re.escape, key.split())) for key in longest_first) or "(?!)"
    return re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE), said


def _key(word: str) -> str:
    return " ".join(word.casefold().split())
