"""Draws trees and lexicons as JSGF, the grammar language of speech engines, kept small by factoring.

A lexicon is drawn as its tree of words, so shared beginnings are written once, and becomes a rule of its own.
Weights are written so that every wording of a lexicon gets the share its entry asks for. Only lower-case
ASCII words are drawn. The language: https://www.w3.org/TR/jsgf/
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import log2
from typing import assert_never

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
    if len({round(weight, 6) for weight, _ in listed}) == 1:
        return " | ".join(text for _, text in listed)
    most = max(weight for weight, _ in listed)
    return " | ".join(f"/{max(weight / most, SMALLEST_WEIGHT):.3f}/ {text}" for weight, text in listed)


def node_text(node: Node) -> str:
    """One tree; slots refer to the rule of their lexicon."""
    match node:
        case Word():
            return node.text
        case Slot():
            return f"<{node.lexicon}>"
        case Maybe(inner, None):
            return f"[{node_text(inner)}]"
        case Maybe(inner, share):
            return f"(/{1.0 - (share or 0.0):.3f}/ <NULL> | /{share:.3f}/ {node_text(inner)})"
        case Either():
            return "(" + " | ".join(node_text(option) for option in node.options) + ")"
        case Row():
            return " ".join(node_text(part) for part in node.parts) or "<NULL>"
        case _:
            assert_never(node)


def lexicon_text(lexicon: Lexicon) -> str:
    """A lexicon as one expression: what entries begin with is written once, and so is what follows alike.

    Weights are rounded to powers of two, since only endings with equal weights are alike.
    """
    return weighted(_branches(lexicon.spoken))


def _branches(leaf: Leaf) -> list[tuple[float, str]]:
    by_rest: dict[str, list[tuple[float, str]]] = {}
    for word, lead in leaf.leads.items():
        by_rest.setdefault(_rest(lead), []).append((lead.weight, word))
    branches: list[tuple[float, str]] = []
    for rest, words in by_rest.items():
        alike = sum(weight for weight, _ in words)
        branches += words if not rest else [(alike, f"{_grouped(words)} {rest}")]
    return _rounded(branches)


def _rest(leaf: Leaf) -> str:
    """What follows a word, nothing if it always ends there."""
    if not leaf.leads:
        return ""
    branches = _branches(leaf)
    text = weighted(branches)
    if leaf.ends:
        return f"[{text}]"
    return text if len(branches) == 1 else f"({text})"


def _grouped(words: list[tuple[float, str]]) -> str:
    return words[0][1] if len(words) == 1 else f"({weighted(_rounded(words))})"


def _rounded(options: list[tuple[float, str]]) -> list[tuple[float, str]]:
    most = max(weight for weight, _ in options)
    return [(2.0 ** round(log2(weight / most)), text) for weight, text in options]
