"""How many pairs of hands a plan has, and whose: `cooks: 2`, or `cooks: [Mira, Jonas]`.

A name is called aloud before a step, so it is short and can be spoken, and no two are the same. What is
complained of leaves one unnamed pair of hands.
"""

from __future__ import annotations

from dataclasses import dataclass

import yaml

from kitchend.files.complaints import echo
from kitchend.files.names import folded
from kitchend.files.section import Section, Written, is_speakable

MOST_COOKS = 20
LONGEST_COOK = 20
"""Characters; a name is said before every call, and stands in narrow columns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooks:
    """So many pairs of hands; as many names, or none."""

    count: int = 1
    names: tuple[str, ...] = ()


def read_cooks(top: Section) -> Cooks:
    """What `cooks:` says; one pair of hands if it says nothing."""
    node = top.node("cooks")
    if isinstance(node, yaml.SequenceNode):
        return _named(top)
    if isinstance(node, yaml.ScalarNode) and any(letter.isalpha() for letter in str(node.value)):
        spot, name = top.spot("cooks"), echo(str(node.value))
        hint = f"give a whole number from 1 to {MOST_COOKS}, or a list of names: [{name}, ...]"
        top.complaints.problem(spot, f"{name} is no count", hint)
        return Cooks()
    return Cooks(count=top.count("cooks", MOST_COOKS) or 1)


def _named(top: Section) -> Cooks:
    given = top.texts("cooks")
    if not given:
        if not top.complaints.has_trouble_with("cooks"):
            hint = "name them, or give a count, or leave the key out"
            top.complaints.problem(top.spot("cooks"), "the list of cooks is empty", hint)
        return Cooks()
    kept: dict[str, str] = {}
    for name in given:
        if _is_callable(name, top, kept):
            kept[folded(name.text)] = name.text
    if len(kept) > MOST_COOKS:
        message = f"more than {MOST_COOKS} cooks"
        top.complaints.problem(top.spot("cooks"), message, "name those who cook")
    names = tuple(kept.values())
    return Cooks(count=max(1, len(names)), names=names)


def _is_callable(name: Written, top: Section, before: dict[str, str]) -> bool:
    """Whether a cook can be called by this name; complains if not."""
    if len(name.text) > LONGEST_COOK:
        message = f"{echo(name.text)} is longer than {LONGEST_COOK} characters"
        top.complaints.problem(name.spot, message, "give the name that is called in the kitchen")
        return False
    if folded(name.text) in before:
        message = f"two cooks are called {echo(name.text)}"
        top.complaints.problem(name.spot, message, "give each a name of their own")
        return False
    return is_speakable(name.text, name.spot, top.complaints)
