"""Text made safe to speak: no control characters, no engine's own markup, nothing where there are no words.

Wording is done elsewhere; this only keeps what an engine might choke on or obey out of every engine alike.
"""

import unicodedata

_MARKUP = str.maketrans(dict.fromkeys("[]{}<>|\\^~`", " "))


def speakable(text: str) -> str:
    """The text on one line without control characters and brackets; empty when it has no letter or digit."""
    visible = "".join(" " if unicodedata.category(sign).startswith("C") else sign for sign in text)
    words = " ".join(visible.translate(_MARKUP).split())
    return words if any(map(str.isalnum, words)) else ""
