"""Words cut into pieces that a vocabulary holds, and put together again.

Models for languages that write particles and endings onto words know pieces of words ("끓였" and "어요"), not
every word. A word that is not known whole is cut into as few known pieces as can be. Only words in Hangul are
cut: pieces of words in letters are not said as the word is. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

LONGEST = 16
"""No word is longer, in syllables; what is stays unknown."""

Pieces = tuple[str, ...]


def cut(word: str, is_known: Callable[[str], bool]) -> Pieces | None:
    """The word, or the fewest known pieces of it, the longest first of several ways; else None."""
    if is_known(word):
        return (word,)
    if len(word) > LONGEST or not all("가" <= sign <= "힣" for sign in word):
        return None
    best: list[Pieces | None] = [None] * len(word) + [()]
    for start in reversed(range(len(word))):
        for end in range(len(word), start, -1):
            rest = best[end]
            if rest is None or not is_known(word[start:end]):
                continue
            found, so_far = (word[start:end], *rest), best[start]
            if so_far is None or len(found) < len(so_far):
                best[start] = found
    return best[0]


def put_together(heard: Iterable[str], words: Mapping[Pieces, str]) -> list[str]:
    """What was heard with the pieces of each word made that word again, the longest first."""
    left, found = tuple(heard), []
    longest = max(map(len, words), default=1)
    while left:
        size = next((size for size in range(longest, 1, -1) if left[:size] in words), 1)
        found.append(words.get(left[:size], left[0]))
        left = left[size:]
    return found


def known_pieces(
    words: Sequence[str], is_known: Callable[[str], bool], kept: dict[str, Pieces | None]
) -> dict[str, Pieces]:
    """The pieces of each word that can be cut; what was found is `kept` for the next time."""
    for word in words:
        if word not in kept:
            kept[word] = cut(word, is_known)
    return {word: found for word in words if (found := kept[word]) is not None}
