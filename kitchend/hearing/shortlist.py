"""Which commands the second ear scores: the pure half of its search.

Scoring costs some 8 ms a command, so the likely ones go first: what the free text says if the grammar holds
it, what the first ear proposes, those spelled most like either, and those with the numbers that were heard.
Where the first few leave nothing open the rest are not scored; where even the free text is doubtful, commands
of a plausible length follow.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from difflib import SequenceMatcher

from kitchend.core.names import without_articles
from kitchend.hearing.numbers import partners, spelled, with_numbers_of
from kitchend.hearing.ports import Sayable

FIRST_ROUND = 20
FEW = 5
SECOND_ROUND = 32
SETTLED_MARGIN, SETTLED_LEAD = -1.6, 0.6
_LETTERS_A_SECOND = (5.0, 24.0)  # slow and quick speech, spaces counted; people vary more than voices do


def likeness(one: str, other: str) -> float:
    """How alike two texts are spelled, 0 to 1."""
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def same_words(text: str, other: str | None) -> bool:
    """Whether two texts differ in articles at most."""
    return other is not None and without_articles(text) == without_articles(other)


def first_round(sayable: Sayable, free_text: str, proposed: Sequence[str]) -> tuple[str, ...]:
    """The commands to score at once, likeliest first."""
    heard = tuple(dict.fromkeys((*spelled(free_text), *proposed)))
    allowed = tuple(text for text in heard if sayable.accepts(text))
    near = sorted(sayable.candidates(), key=lambda text: -_nearest(text, heard))
    renumbered = (text for like in near[:4] for text in _renumbered(like, heard))
    wanted = (*allowed, *near[:2], *(text for text in renumbered if sayable.accepts(text)), *near)
    return tuple(dict.fromkeys(wanted))[:FIRST_ROUND]


def _nearest(text: str, heard: Iterable[str]) -> float:
    return max((likeness(text, other) for other in heard), default=0.0)


def _renumbered(text: str, heard: Iterable[str]) -> Iterable[str]:
    return (new for other in heard for new in with_numbers_of(text, other))


def is_settled(scored: Mapping[str, float], free: float, proposed: Sequence[str]) -> bool:
    """Whether the best of the first few is the first ear's own, far ahead, and explains the sound well.

    `make bench` tells how often going on would have changed what comes of a phrase.
    """
    if not scored or not proposed:
        return False
    best = max(scored, key=lambda text: scored[text])
    others = (score for text, score in scored.items() if not same_words(text, best))
    lead = scored[best] - max(others, default=-math.inf)
    return same_words(best, proposed[0]) and scored[best] - free >= SETTLED_MARGIN and lead >= SETTLED_LEAD


def second_round(sayable: Sayable, audio_s: float, scored: Iterable[str]) -> tuple[str, ...]:
    """Commands not yet scored that can be said in the time, for phrases that nothing explains well."""
    seen = set(scored)
    slow, quick = (rate * audio_s for rate in _LETTERS_A_SECOND)
    plausible = (text for text in sayable.candidates() if slow <= len(text) <= quick)
    return tuple(text for text in plausible if text not in seen)[:SECOND_ROUND]


def doubles(sayable: Sayable, text: str, scored: Iterable[str]) -> tuple[str, ...]:
    """The command with one number mistaken for another, if the grammar holds it and it is not yet scored."""
    seen = set(scored)
    return tuple(other for other in partners(text) if other not in seen and sayable.accepts(other))
