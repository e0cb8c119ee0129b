"""A pronunciation in ARPAbet as a person can read it: "K AA CH AH P UH R IY" is "kah-chuh-pur-ee".

Only to be shown. Hyphens stand where a syllable begins, as well as spelling can tell.
"""

from __future__ import annotations

from typing import Final

VOWELS: Final = {
    "AA": "ah", "AE": "a", "AH": "uh", "AO": "aw", "AW": "ow", "AY": "eye", "EH": "eh", "ER": "er",
    "EY": "ay", "IH": "ih", "IY": "ee", "OW": "oh", "OY": "oy", "UH": "oo", "UW": "oo",
}  # fmt: skip
CONSONANTS: Final = {"DH": "th", "HH": "h", "JH": "j", "NG": "ng"}


def respelled(phones: str) -> str:
    """The phones, with spaces between them, as syllables."""
    syllables, begins = list[str](), ""
    for phone in phones.split():
        if phone in VOWELS:
            syllables.append(begins + VOWELS[phone])
            begins = ""
        else:
            begins = _with(syllables, begins, CONSONANTS.get(phone, phone.lower()))
    return "-".join([*syllables[:-1], (syllables or [""])[-1] + begins])


def _with(syllables: list[str], begins: str, consonant: str) -> str:
    """The consonants the next syllable begins with; of several the first ends the one before."""
    if begins and syllables:
        syllables[-1] += begins
        begins = ""
    return begins + consonant
