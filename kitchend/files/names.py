"""Names as a cook writes them: when two are the same, and the id a name becomes."""

from __future__ import annotations

import re
import unicodedata


def folded(name: str) -> str:
    """The name without regard to case and spacing; two names that fold alike are the same name."""
    return " ".join(name.casefold().split())


def slug(name: str) -> str:
    """The id a name becomes: "Steam the greens!" is steam-the-greens; accents are dropped."""
    plain = unicodedata.normalize("NFKD", folded(name))
    kept = "".join(letter for letter in plain if not unicodedata.combining(letter))
    whole = unicodedata.normalize("NFC", kept)  # syllables of Hangul were taken apart too
    return re.sub(r"[\W_]+", "-", whole).strip("-") or "x"
