"""How much a grammar leaves open: the entropy of what it says, from the network's own shares.

Exact, not sampled: a network has no loops and one arc a word, so every text has one way through it and the
entropy of the whole is the sum over its turnings. Perplexity is what a listener has to choose among at each
word: Jelinek, Mercer, Bahl and Baker, "Perplexity, a measure of the difficulty of speech recognition tasks",
Journal of the Acoustical Society of America 62 (1977). The end of a text counts as a word.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log2

from kitchend.core.network import Arc, Network


@dataclass(frozen=True, slots=True, kw_only=True)
class Openness:
    """`bits` is the entropy of a whole text, `words` its mean length without the end."""

    bits: float
    words: float

    @property
    def perplexity(self) -> float:
        """How many equally likely words a listener chooses among at each turn."""
        return float(2.0 ** (self.bits / (self.words + 1.0)))

    @property
    def texts(self) -> float:
        """How many equally likely texts would leave as much open."""
        return float(2.0**self.bits)


def openness(network: Network) -> Openness:
    """What a network leaves open when texts are drawn with its shares."""
    onward = _onward(network)
    reached = {0: 1.0}
    bits = words = 0.0
    for state in sorted(onward):
        here = reached.get(state, 0.0)
        whole = sum(arc.share for arc in onward[state])
        for arc in onward[state]:
            share = arc.share / whole
            bits -= here * share * log2(share)
            words += here * share * (arc.word is not None)
            reached[arc.target] = reached.get(arc.target, 0.0) + here * share
    return Openness(bits=bits, words=words)


def _onward(network: Network) -> Mapping[int, Iterable[Arc]]:
    """The arcs of each state; states are numbered so that arcs lead to higher numbers."""
    found: dict[int, list[Arc]] = defaultdict(list)
    for arc in network.arcs:
        found[arc.source].append(arc)
    return found
