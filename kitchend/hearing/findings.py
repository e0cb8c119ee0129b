"""What the second ear has found of one phrase so far: commands that come near, their scores, what is open.

The grammar is searched for every text that was heard, freely or in its own words. Pure: scores are put in.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import islice
from typing import TypeVar

from kitchend.hearing.ports import LEAST_LOG_SHARE, OpenWorded, Padded, Sayable, Scored
from kitchend.hearing.search import Found, Searchable, apart, nearest
from kitchend.hearing.shortlist import crossed, same_words

_T = TypeVar("_T")

WAYS = 3
"""How many ways to say the free text's digits are searched for."""
NEAR, AT_ONCE, AT_FIRST = 6, 16, 5
"""Commands for each heard text, scored in one go, and the nearest, which are enough where they settle it."""
BLIND, ALIKE = 8, 2
"""How many of the best are compared with how cheap they are to say; how many where all is settled."""
SETTLED_MARGIN, SETTLED_LEAD = -0.8, 0.8
AGREED_MARGIN, AGREED_LEAD = -2.0, 0.3
"""The same where the first ear proposed that very command: 59 of 240 phrases, all decided as without it."""
CLEAR, FAR = -0.5, -3.0
"""A free text above the first, with every command further below it than the second, is talk.

26 of 29 clear pieces of talk, and of 299 commands one that was missed anyway; the next is at -2.8.
"""


OPEN_MARGIN = -4.0
"""A free text is taken at its word only where the grammar's best is so far below it, log probability in all.

Five commands with a name of the plan were heard as one with another word ("frumble"), -2.3 at most below it.
"""
PADDED = -3.0
"""The natural logarithm of how often a command has words around it. A guess."""


def in_turns(*rows: Sequence[_T]) -> tuple[_T, ...]:
    """The first of each row, then the second of each, and so on; none twice."""
    most = max(map(len, rows), default=0)
    return tuple(dict.fromkeys(row[place] for place in range(most) for row in rows if place < len(row)))


def _with(found: Found, put_back: Callable[[str], str]) -> Found:
    return replace(found, text=put_back(found.text), log_share=found.log_share + PADDED)


class Findings:
    """Scores of commands by text: the mean log probability of its tokens and how many there are.

    Without a grammar to search nothing comes near, and commands are scored as they are named.
    """

    def __init__(self, grammar: Searchable | None, heard: tuple[str, ...]) -> None:
        self._grammar = grammar
        self._shares: dict[str, float] = {}
        self.heard = heard
        self.scored: dict[str, tuple[float, int]] = {}

    def take(self, found: Iterable[Found], most: int) -> tuple[str, ...]:
        """So many commands that another search has found, however many ways there are to say each."""
        shares: dict[str, float] = {}
        for one in found:
            shares.setdefault(one.text, one.log_share)
            if len(shares) == most:
                break
        self._shares.update(shares)
        return tuple(shares)

    def near(
        self, heard: Iterable[str], sayable: Sayable | None = None, *, each: int = NEAR, most: int = AT_ONCE
    ) -> tuple[str, ...]:
        """The commands nearest to these texts, in turns, so many for `each` and `most` in all.

        Where a text has words around it that mean nothing, as far as `sayable` tells, the nearest to what is
        left come with these words around them.
        """
        if self._grammar is None:
            return ()
        rows: list[list[Found]] = []
        for text in dict.fromkeys(heard):
            rows.append(list(islice(nearest(self._grammar, text), each)))
            if sayable is not None:
                rows.append(self._padded(text, sayable))
        found = {one.text: one.log_share for one in in_turns(*rows)}
        self._shares.update(found)
        return tuple(found)[:most]

    def _padded(self, text: str, sayable: Sayable) -> list[Found]:
        """The nearest to what is left of a text without the words around it, with these words."""
        way = sayable.unpadded(text) if isinstance(sayable, Padded) else None
        if way is None or self._grammar is None:
            return []
        command, put_back = way
        padded = (_with(found, put_back) for found in islice(nearest(self._grammar, command), NEAR))
        return [found for found in padded if sayable.accepts(found.text)]

    def crossed(self, sayable: Sayable, proposed: tuple[str, ...]) -> tuple[str, ...]:
        """The best with words of what the first ear proposed, where that is something else."""
        if self._grammar is None or any(same_words(text, self.best) for text in proposed):
            return ()
        return crossed(sayable, self.best, proposed, self.scored, self._grammar.holds)

    @property
    def best(self) -> str:
        """The command with the best score."""
        return max(self.scored, key=lambda text: self.scored[text][0])

    def is_settled(self, free: float, proposed: tuple[str, ...]) -> bool:
        """Whether the best command explains the sound about as well as free text, and others far worse.

        Less is asked of one that the first ear proposed.
        """
        if not self.scored:
            return False
        best = self.best
        others = (score for text, (score, _) in self.scored.items() if not same_words(text, best))
        score = self.scored[best][0]
        is_agreed = any(same_words(text, best) for text in proposed)
        margin, lead = (AGREED_MARGIN, AGREED_LEAD) if is_agreed else (SETTLED_MARGIN, SETTLED_LEAD)
        return score - free >= margin and score - max(others, default=-1e9) >= lead

    def is_talk(self, free: float) -> bool:
        """Whether the free text is clear, and no command comes anywhere near to explaining the sound."""
        best = max((score for score, _ in self.scored.values()), default=free)
        return free > CLEAR and best - free < FAR

    def open_ways(self, free: float, ways: Iterable[str], sayable: Sayable) -> tuple[str, ...]:
        """The free text in each way that is a command with words of any kind in it; where it is clear, and
        no command of the grammar comes as near to the sound as one that was meant would.
        """
        score, tokens = max(self.scored.values(), default=(-1e9, 1))
        if not isinstance(sayable, OpenWorded) or free < CLEAR or (score - free) * tokens > OPEN_MARGIN:
            return ()
        return tuple(way for way in ways if way not in self.scored and sayable.takes_openly(way))

    def few(self, most: int = BLIND) -> tuple[str, ...]:
        """The best few commands."""
        return tuple(sorted(self.scored, key=lambda text: -self.scored[text][0])[:most])

    def readings(
        self, blind: Mapping[str, float], phones: Mapping[str, float] | None = None
    ) -> tuple[Scored, ...]:
        """All commands scored, best first, with what is known of each besides."""
        found = (
            Scored(
                text=text,
                score=score,
                tokens=tokens,
                blind=blind.get(text),
                phones=None if phones is None else phones.get(text),
                log_share=self._shares.get(text, LEAST_LOG_SHARE),
                apart=min(
                    (apart(text, heard) for heard in self.heard if any(map(str.isalnum, heard))), default=1.0
                ),
            )
            for text, (score, tokens) in self.scored.items()
        )
        return tuple(sorted(found, key=lambda reading: -reading.score))
