"""Common English words: Debian's wamerican-small and wbritish-small (SCOWL by K. Atkinson)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

DICTIONARIES = tuple(Path("/usr/share/dict") / f"{of}-english-small" for of in ("american", "british"))


def common() -> Iterator[str]:
    """All of them, some twice. OSError where one of the two is missing."""
    for file in DICTIONARIES:
        for word in file.read_text("utf-8").split():
            if re.fullmatch("[a-z']+", word) and not word.endswith("'s"):
                yield word
