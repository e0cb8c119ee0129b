"""How far apart two stretches of sound are, counted in phones of the CMU Pronouncing Dictionary.

An edit distance in which what is mistaken in noise is near. Consonants: Miller and Nicely, "An analysis of
perceptual confusions among some English consonants", JASA 27 (1955): place is lost first, voicing and
nasality survive. Vowels: Peterson and Barney, "Control methods used in a study of the vowels", JASA 24
(1952): neighbours in the mouth are confused. The costs themselves are a judgement. Pure: no dictionary.
"""

from __future__ import annotations

from collections.abc import Sequence

PLACE_ONLY, NEIGHBOURS, VOICING_ONLY, WEAK = 0.4, 0.5, 0.8, 0.6
"""What it costs to change a consonant's place, a vowel for its neighbour, a voice; to lose a weak sound."""

_CONSONANTS = {
    **dict.fromkeys(("P", "T", "K"), ("stop", False)),
    **dict.fromkeys(("B", "D", "G"), ("stop", True)),
    **dict.fromkeys(("F", "TH"), ("soft fricative", False)),
    **dict.fromkeys(("V", "DH"), ("soft fricative", True)),
    **dict.fromkeys(("S", "SH"), ("sharp fricative", False)),
    **dict.fromkeys(("Z", "ZH"), ("sharp fricative", True)),
    "CH": ("affricate", False),
    "JH": ("affricate", True),
    **dict.fromkeys(("M", "N", "NG"), ("nasal", True)),
    **dict.fromkeys(("L", "R"), ("liquid", True)),
    **dict.fromkeys(("W", "Y"), ("glide", True)),
    "HH": ("breath", False),
}
"""Manner and voicing of each consonant; those that have both alike differ in place only."""

_NEIGHBOURS = frozenset(
    frozenset(pair.split("/"))
    for pair in (
        "IY/IH IH/EH EH/AE AE/AH AH/AA AA/AO AO/OW AH/UH UH/UW EH/AH ER/AH "
        "EY/EH EY/IH OW/UH AY/AA AW/AA OY/AO"
    ).split()
)
_WEAK = frozenset({"AH", "S", "Z", "T", "D", "HH"})
"""Sounds that go unheard most easily: the neutral vowel, endings, a breath."""


def change(one: str, other: str) -> float:
    """What it costs to hear one phone for another, 0 to 1."""
    if one == other:
        return 0.0
    if one in _CONSONANTS and other in _CONSONANTS:
        (manner, voice), (other_manner, other_voice) = _CONSONANTS[one], _CONSONANTS[other]
        if manner == other_manner:
            return PLACE_ONLY if voice == other_voice else VOICING_ONLY
        return 1.0
    return NEIGHBOURS if frozenset((one, other)) in _NEIGHBOURS else 1.0


def loss(phone: str) -> float:
    """What it costs to miss a phone, or to hear one that was not said."""
    return WEAK if phone in _WEAK else 1.0


def distance(one: Sequence[str], other: Sequence[str]) -> float:
    """The least cost of making one row of phones of the other; 0 for the same, symmetric."""
    row = [0.0]
    for phone in other:
        row.append(row[-1] + loss(phone))
    for a in one:
        before, row[0] = row[0], row[0] + loss(a)
        for j, b in enumerate(other, start=1):
            swapped = before + change(a, b)
            before, row[j] = row[j], min(row[j] + loss(a), row[j - 1] + loss(b), swapped)
    return row[-1]


ALIKE_SHARE, ALIKE_COST = 0.17, 1.0


def is_alike(one: Sequence[str], other: Sequence[str]) -> bool:
    """Whether two names are easily taken for each other: less than a sound apart, or a sixth of a long name.

    Names of one sound never are. The limits are a judgement: with them "rest the salmon" and "baste the
    salmon", which listeners confuse, are alike, and "beets" and "beans" are not.
    """
    longest = max(len(one), len(other))
    apart = distance(one, other)
    return longest > 1 and apart <= max(ALIKE_COST, ALIKE_SHARE * longest) and apart < longest / 2
