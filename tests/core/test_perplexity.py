"""How much the grammar leaves open: exact on small grammars, bounded in every state of a dinner."""

import random
from collections import defaultdict
from dataclasses import replace
from math import log2

import pytest

from kitchend.core.grammar import Entry, Lexicon, pattern
from kitchend.core.network import Network, network_of
from kitchend.core.perplexity import openness
from kitchend.core.phrases import sayable
from kitchend.core.state import DinnerState
from tests.core.lighthouse import MANNERS, NOW, STATES

DIGITS = Lexicon(Entry(word, word) for word in "one two three four five six seven eight".split())


def network(text: str) -> Network:
    return network_of([(1.0, pattern(text))], {"digit": DIGITS})


@pytest.mark.parametrize(
    ("text", "bits", "words"),
    [
        ("go home", 0.0, 2.0),
        ("go (home|on)", 1.0, 2.0),
        ("{digit}", 3.0, 1.0),
        ("{digit} {d=digit}", 6.0, 2.0),
        ("go [on]", 1.0, 1.5),
        ("(go home|go on|come)", log2(3), 5 / 3),
    ],
)
def test_openness_is_exact(text: str, bits: float, words: float) -> None:
    found = openness(network(text))
    assert found.bits == pytest.approx(bits)
    assert found.words == pytest.approx(words)
    assert found.texts == pytest.approx(2**bits)
    assert found.perplexity == pytest.approx(2 ** (bits / (words + 1)))


def open_network(state: DinnerState) -> Network:
    return sayable(replace(state, manners=replace(MANNERS, is_open=True)), NOW).network()


def sampled_bits(network: Network, count: int) -> float:
    """The mean surprise of texts drawn with the network's shares."""
    chance, ways, total = random.Random(3), defaultdict(list), 0.0
    for arc in network.arcs:
        ways[arc.source].append(arc)
    for _ in range(count):
        at = 0
        while at != network.final:
            arc = chance.choices(ways[at], [arc.share for arc in ways[at]])[0]
            total -= log2(arc.share / sum(other.share for other in ways[at]))
            at = arc.target
    return total / count


def test_openness_is_what_drawing_texts_comes_to() -> None:
    busy = open_network(STATES["busy"])
    assert openness(busy).bits == pytest.approx(sampled_bits(busy, 4000), rel=0.03)


@pytest.mark.parametrize("state", STATES.values(), ids=STATES)
def test_a_listener_never_chooses_among_many_words(state: DinnerState) -> None:
    """A guard: a form that opens the grammar wide shows here before it shows as phrases misheard."""
    assert openness(open_network(state)).perplexity < 4.6
