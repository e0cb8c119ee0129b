"""Which commands the second ear scores where there is a list of them and no network to search.

What the free text says if the grammar holds it, what the first ear proposes, those spelled most like either,
and those with the numbers that were heard. For any grammar: a command with a number mistaken for another.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from difflib import SequenceMatcher

from kitchend.core.names import without_articles
from kitchend.core.reading import is_syllabic
from kitchend.hearing.numbers import others, partners, spelled, with_numbers_of
from kitchend.hearing.ports import Meaningful, OpenWorded, Sayable

FIRST_ROUND = 20
SPAN, CROSSED = 3, 8
"""How many words may be exchanged at once, and how many commands come of it at most."""


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
    return _new(sayable, partners(text), scored)


def numbered(sayable: Sayable, text: str, heard: Iterable[str], scored: Iterable[str]) -> tuple[str, ...]:
    """The command with the numbers that were heard, of those not yet scored."""
    return _new(sayable, dict.fromkeys(_renumbered(text, heard)), scored)


def renumbered(sayable: Sayable, text: str, scored: Iterable[str]) -> tuple[str, ...]:
    """The command with every other number that it may have, of those not yet scored."""
    return _new(sayable, others(text), scored)


def _new(sayable: Sayable, texts: Iterable[str], scored: Iterable[str]) -> tuple[str, ...]:
    """Those that the grammar holds and that are not yet scored."""
    seen = set(scored)
    return tuple(text for text in texts if text not in seen and is_held(text, sayable))


def is_held(text: str, sayable: Sayable) -> bool:
    """Whether the grammar holds a text, or it is a command with words of any kind in it."""
    return sayable.accepts(text) or (isinstance(sayable, OpenWorded) and sayable.takes_openly(text))


def crossed(
    sayable: Sayable,
    text: str,
    heard: Iterable[str],
    scored: Iterable[str],
    holds: Callable[[str], bool],
) -> tuple[str, ...]:
    """The command with a few words of what the first ear heard in place of some of its own.

    One ear may have the name and the other the rest: "put the oven on hold" and "the aubergines are grilled".
    Words that both have stay where they are; what means the same as another is no news. `holds` says what the
    grammar has to the letter: reading is lenient with articles.
    """
    words, found = text.split(), dict[object, str]()
    known = {_meant(sayable, other) for other in scored} | {_meant(sayable, text)}
    for other in heard:
        both = set(words) & set(other.split())
        for new in _spans(other.split(), both):
            for start, end in _places(words, len(new), both):
                way = " ".join([*words[:start], *new, *words[end:]])
                if holds(way) and (meaning := _meant(sayable, way)) not in known:
                    found.setdefault(meaning, way)
    return tuple(found.values())[:CROSSED]


def _meant(sayable: Sayable, text: str) -> object:
    return sayable.meaning(text) if isinstance(sayable, Meaningful) else text


def _spans(words: Sequence[str], kept: Collection[str]) -> Iterable[Sequence[str]]:
    """Its words one by one, then by twos, and so on, without those that are kept."""
    spans = (words[i : i + size] for size in range(1, SPAN + 1) for i in range(len(words) - size + 1))
    return (span for span in spans if not set(span) & set(kept))


def _places(words: Sequence[str], size: int, kept: Collection[str]) -> Iterable[tuple[int, int]]:
    """Where so many words, or one more or one fewer, may be taken out."""
    lengths = [length for length in (size, size + 1, size - 1) if 0 < length < len(words)]
    places = ((i, i + length) for length in lengths for i in range(len(words) - length + 1))
    return ((start, end) for start, end in places if not set(words[start:end]) & set(kept))
