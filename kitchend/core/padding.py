"""What people say around a command that changes nothing: "okay hold the rice please", "can you undo that".

Each language has its words. They are no part of the grammar, which would grow by half for them: whoever reads
or listens takes them off and puts them back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Padding:
    """`leads` come before and `tails` after all but forms of the rules `bare`; `asking` comes before an order
    (a form of one of the rules `orders`).
    """

    leads: tuple[str, ...] = ()
    asking: tuple[str, ...] = ()
    tails: tuple[str, ...] = ()
    orders: frozenset[str] = frozenset()
    bare: frozenset[str] = frozenset()

    def within(self, words: Sequence[str]) -> Iterator[tuple[int, int, bool]]:
        """From where to where a command may stand in these words, and whether it must be an order; the least
        last, and the whole not among them.
        """
        end = len(words)
        lead = _begins(words, self.leads)
        asked = _begins(words[lead:], self.asking)
        tail = _begins(words[::-1], [" ".join(reversed(text.split())) for text in self.tails])
        starts = dict.fromkeys(((lead, False), (lead + asked, asked > 0)))
        for start, is_order in starts:
            for stop in dict.fromkeys((end, end - tail)):
                if start < stop and (start, stop) != (0, end):
                    yield start, stop, is_order


@dataclass(frozen=True, slots=True)
class Around:
    """Puts padding around a command, after the address phrase if it begins with that."""

    start: str
    lead: str
    tail: str

    def __call__(self, command: str) -> str:
        """The command with it."""
        return f"{self.start}{self.lead}{command.removeprefix(self.start)}{self.tail}"


def _begins(words: Sequence[str], texts: Sequence[str]) -> int:
    """With how many words of one of these texts they begin."""
    split = (tuple(text.split()) for text in texts)
    return next((len(text) for text in split if tuple(words[: len(text)]) == text), 0)
