"""Which commands the second ear scores where there is a list of them and no network to search.

What the free text says if the grammar holds it, what the first ear proposes, those spelled most like either,
and those with the numbers that were heard. For any grammar: a command with a number mistaken for another.
"""

from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher

from kitchend.core.names import without_articles
from kitchend.core.reading import is_syllabic
from kitchend.hearing.numbers import partners, spelled, with_numbers_of
from kitchend.hearing.ports import Sayable

FIRST_ROUND = 20


def likeness(one: str, other: str) -> float:
    """How alike two texts are spelled, 0 to 1."""
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def same_words(text: str, other: str | None) -> bool:
    """Whether two texts differ in articles, or in spaces that mean nothing, at most."""
    return other is not None and _bare(text) == _bare(other)


def _bare(text: str) -> str:
    """Without articles; where words are written in syllables, without spaces too."""
    bare = without_articles(text)
    return bare.replace(" ", "") if any(map(is_syllabic, bare.split())) else bare


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


def doubles(sayable: Sayable, text: str, scored: Iterable[str]) -> tuple[str, ...]:
    """The command with one number mistaken for another, if the grammar holds it and it is not yet scored."""
    seen = set(scored)
    return tuple(other for other in partners(text) if other not in seen and sayable.accepts(other))
