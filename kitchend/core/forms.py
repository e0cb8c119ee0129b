"""A phrase: one pattern, the command it makes, and when it makes sense; and how a table of them is written.

A gate says what must be so for a rule to make sense. What a slot needs is no gate's business: a phrase whose
lexicon is empty can't be said. Makers turn slot values into commands and decide nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from kitchend.core.commands import Command
from kitchend.core.grammar import Node, Slots, pattern

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


def forms(rule: str, gate: Gate, make: Maker, lines: str) -> Iterator[Phrase]:
    """The phrases of one rule, a line each: "pattern" or "weight: pattern"."""
    for line in filter(None, map(str.strip, lines.splitlines())):
        weight, colon, text = line.partition(": ")
        node = pattern(text if colon else line)
        yield Phrase(rule=rule, node=node, make=make, gate=gate, weight=float(weight) if colon else 1.0)
