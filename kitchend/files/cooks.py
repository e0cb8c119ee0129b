"""How many pairs of hands a plan has, and whose: `cooks: 2`, or `cooks: [Mira, Jonas]`.

A name is called aloud before a step, so it is short and can be spoken, and no two are the same. What is
complained of leaves one unnamed pair of hands.
"""

from __future__ import annotations

from dataclasses import dataclass

import yaml

from kitchend.core.wording import clause
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
        hint = clause("wrong.cooks.hint", most=f"{MOST_COOKS}", name=name)
        top.complaints.problem(spot, clause("wrong.count", text=name), hint)
        return Cooks()
    return Cooks(count=top.count("cooks", MOST_COOKS) or 1)


def _named(top: Section) -> Cooks:
    given = top.texts("cooks")
    if not given:
        if not top.complaints.has_trouble_with("cooks"):
            hint = clause("wrong.cooks.empty.hint")
            top.complaints.problem(top.spot("cooks"), clause("wrong.cooks.empty"), hint)
        return Cooks()
    kept: dict[str, str] = {}
    for name in given:
        if _is_callable(name, top, kept):
            kept[folded(name.text)] = name.text
    if len(kept) > MOST_COOKS:
        message = clause("wrong.cooks.most", most=f"{MOST_COOKS}")
        top.complaints.problem(top.spot("cooks"), message, clause("wrong.cooks.most.hint"))
    names = tuple(kept.values())
    return Cooks(count=max(1, len(names)), names=names)


def _is_callable(name: Written, top: Section, before: dict[str, str]) -> bool:
    """Whether a cook can be called by this name; complains if not."""
    if len(name.text) > LONGEST_COOK:
        message = clause("wrong.cook.long", name=echo(name.text), most=f"{LONGEST_COOK}")
        top.complaints.problem(name.spot, message, clause("wrong.cook.long.hint"))
        return False
    if folded(name.text) in before:
        message = clause("wrong.cook.same", name=echo(name.text))
        top.complaints.problem(name.spot, message, clause("wrong.cook.same.hint"))
        return False
    return is_speakable(name.text, name.spot, top.complaints)
