"""What devices complain of, put into the language of the house.

Who raises such a complaint knows of no language, and says it in English pieces; each language has its own for
them (`languages/*/complaints.py`). What has none, as the words of a library, stays as it came.
"""

from __future__ import annotations

import re
from functools import cache

from kitchend.core.tongue import DEFAULT, language_of

_PIECE = "complaint."


def told_in(tag: str, line: str) -> str:
    """The complaint in this language."""
    if tag == DEFAULT:
        return line
    own = language_of(tag).sentences
    pattern, keys = _pieces()
    return pattern.sub(lambda found: own[keys[found[0]]], line)


@cache
def _pieces() -> tuple[re.Pattern[str], dict[str, str]]:
    """What finds a piece, the longest first and never inside a word or a path; and the key of each."""
    english = language_of(DEFAULT).sentences
    keys = {text: key for key, text in english.items() if key.startswith(_PIECE)}
    longest = sorted(keys, key=len, reverse=True)
    return re.compile(rf"(?<![\w/.'-])(?:{'|'.join(map(re.escape, longest))})(?![\w/'-]|\.\w)"), keys
