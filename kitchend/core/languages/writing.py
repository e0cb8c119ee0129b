"""How letters and signs of a text are written before words are read: what a language's `LETTERS` may be.

A language whose own words have marks on their letters takes SIGNS; one that writes without them takes PLAIN,
so that a name borrowed from elsewhere is said and typed either way.
"""

from __future__ import annotations

SIGNS = str.maketrans("’‘`-/_", "'''   ") | {ord("&"): " and ", ord("½"): " half "}
"""Quotation marks as apostrophes; what joins words, apart. English "&" and "½": a language writes its own."""

PLAIN = (
    SIGNS
    | str.maketrans(
        "àáâãäåçèéêëìíîïñòóôõöøùúûüýÿšžěčř",
        "aaaaaaceeeeiiiinoooooouuuuyyszecr",
        "\u0301\u0300\u0302\u0308\u0303",
    )
    | {ord("œ"): "oe", ord("æ"): "ae", ord("ß"): "ss", ord("ø"): "o"}
)
"""The same, and letters without their marks."""
