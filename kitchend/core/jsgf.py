"""Draws trees and lexicons as JSGF, the grammar language of speech engines, kept small by factoring.

A lexicon is drawn as its tree of words, so shared beginnings are written once, and becomes a rule of its own.
Weights are written so that every wording of a lexicon gets the share its entry asks for. Only lower-case
ASCII words are drawn. The language: https://www.w3.org/TR/jsgf/
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kitchend.core.grammar import Either, Leaf, Lexicon, Maybe, Node, Row, Slot, Word

SMALLEST_WEIGHT = 0.001
"""JSGF weights are plain decimals here, because engines do not read exponents."""


def grammar_text(name: str, public: str, rules: Mapping[str, str]) -> str:
    """A complete JSGF text; `public` is the name of the rule that may be said."""
    lines = [f"{'public ' if rule == public else ''}<{rule}> = {body};" for rule, body in rules.items()]
    return "\n".join(["#JSGF V1.0;", f"grammar {name};", *lines, ""])


def weighted(options: Iterable[tuple[float, str]]) -> str:
    """Alternatives with their weights, without weights when all are alike."""
    listed = list(options)
    weights = {round(weight, 6) for weight, _ in listed}
    if len(weights) == 1:
        return " | ".join(text for _, text in listed)
    most = max(weights)
    return " | ".join(f"/{max(weight / most, SMALLEST_WEIGHT):.3f}/ {text}" for weight, text in listed)


def node_text(node: Node) -> str:
    """One tree; slots refer to the rule of their lexicon."""
    match node:
        case Word():
            return node.text
        case Slot():
            return f"<{node.lexicon}>"
        case Maybe():
            return f"[{node_text(node.inner)}]"
        case Either():
            return "(" + " | ".join(node_text(option) for option in node.options) + ")"
        case Row():
            return " ".join(node_text(part) for part in node.parts)


def lexicon_text(lexicon: Lexicon) -> str:
    """A lexicon as one expression, factored by the words its entries begin with."""
    return weighted(_branches(lexicon.spoken))


def _branches(leaf: Leaf) -> list[tuple[float, str]]:
    return [(lead.weight, _branch(word, lead)) for word, lead in leaf.leads.items()]


def _branch(word: str, leaf: Leaf) -> str:
    if not leaf.leads:
        return word
    rest = weighted(_branches(leaf))
    if leaf.ends:
        return f"{word} [{rest}]"
    return f"{word} ({rest})" if len(leaf.leads) > 1 else f"{word} {rest}"
