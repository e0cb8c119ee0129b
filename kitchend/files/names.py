"""Names as a cook writes them: when two are the same, and the id a name becomes."""

from __future__ import annotations

import re
import unicodedata

from kitchend.core.tongue import tongue


def folded(name: str) -> str:
    """The name without regard to case and spacing; two names that fold alike are the same name."""
    return " ".join(name.casefold().split())


def bare(name: str) -> str:
    """The name without an article before it: sentences bring their own. An article alone stays."""
    first, _, rest = name.partition(" ")
    return rest.strip() if rest.strip() and first.casefold() in tongue().reading.left_out else name


def slug(name: str) -> str:
    """The id a name becomes: "Steam the greens!" is steam-the-greens; accents are dropped."""
    plain = unicodedata.normalize("NFKD", folded(name))
    kept = "".join(letter for letter in plain if not unicodedata.combining(letter))
    whole = unicodedata.normalize("NFC", kept)  # syllables of Hangul were taken apart too
    return re.sub(r"[\W_]+", "-", whole).strip("-") or "x"
