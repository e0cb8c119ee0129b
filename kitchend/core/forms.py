"""A phrase: one pattern, the command it makes, and when it makes sense; and how a table of them is written.

A gate says what must be so for a rule to make sense. What a slot needs is no gate's business: a phrase whose
lexicon is empty can't be said. Makers turn slot values into commands and decide nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import assert_never

from kitchend.core.commands import Command
from kitchend.core.grammar import Either, Maybe, Node, Row, Slot, Slots, Word, pattern

Maker = Callable[[Slots], Command]


class Gate(Enum):
    """What must be so for a rule to make sense. What a slot needs is seen from its lexicon being empty."""

    DINNER = "a dinner is on"
    NO_DINNER = "no dinner is on"
    CALLED = "a call waits to be heard"
    OPEN_STEP = "a step is called, on or up"
    RUNNING = "something is on or a timer runs"
    HELD = "something is held"
    ASKED = "a question waits for its answer"
    CHOICES = "the question has a list of answers"
    TALKING = "kitchend has something to say"
    NUMBER = "the question is about a number"
    UNSURE = "nobody knows how long kitchend was away"
    PAST = "something can be taken back"
    ALWAYS = "always"


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """One form of one command. `rule` groups the forms of a command; `weight` is among those of its rule."""

    rule: str
    node: Node
    make: Maker
    gate: Gate
    weight: float = 1.0

    @property
    def is_usual(self) -> bool:
        """Whether it is among the forms that a listener is given that mishears more the more may be said."""
        return self.weight >= USUAL_WEIGHT


USUAL_WEIGHT = 0.4
"""The least weight of a usual form."""

_DROPPED: Mapping[str, tuple[str, ...]] = {
    "minutes": ("count", "minutes"),
    "another": ("count", "another"),
    "count": ("count",),
    "core_degrees": ("core_degrees",),
    "heated_degrees": ("heated_degrees",),
    "clock": ("clock",),
    "amount": ("amount",),
}
"""What a cook may say before the number that is meant: "five, no, fifteen minutes"."""

CORRECTED_SHARE = 0.01
"""How often a number is put right in the same breath. A guess; high enough to be heard, low enough not to
be made up."""


def with_corrections(node: Node, put_right: Node) -> Node:
    """The tree with every number open to being put right in one breath; the first one counts for nothing."""
    match node:
        case Slot(_, name) if name in _DROPPED:
            dropped = tuple(Slot("dropped", lexicon) for lexicon in _DROPPED[name])
            wrong = dropped[0] if len(dropped) == 1 else Either(dropped)
            return Row((Maybe(Row((wrong, put_right)), CORRECTED_SHARE), node))
        case Word() | Slot():
            return node
        case Maybe(inner, share):
            return Maybe(with_corrections(inner, put_right), share)
        case Either(options):
            return Either(tuple(with_corrections(one, put_right) for one in options))
        case Row(parts):
            return Row(tuple(with_corrections(part, put_right) for part in parts))
        case _:
            assert_never(node)


def forms(rule: str, gate: Gate, make: Maker, lines: str, put_right: Node) -> Iterator[Phrase]:
    """The phrases of one rule, a line each: "pattern" or "weight: pattern".

    `put_right` is what stands between a number that was wrong and the right one, in usual forms.
    """
    for line in filter(None, map(str.strip, lines.splitlines())):
        weight, colon, text = line.partition(": ")
        phrase = Phrase(
            rule=rule,
            node=pattern(text if colon else line),
            make=make,
            gate=gate,
            weight=float(weight) if colon else 1.0,
        )
        # one in a hundred of what is seldom said anyway would be half of the grammar
        if phrase.is_usual:
            phrase = replace(phrase, node=with_corrections(phrase.node, put_right))
        yield phrase
