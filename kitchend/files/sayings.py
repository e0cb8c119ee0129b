"""How words of a plan are said: `say: {quinoa: keen wah}`, for names that the voice says badly.

Sayings are written in letters, as they would be read aloud, so that every voice can be given the same. A word
that the plan never says is a doubt: it is mostly a slip of the pen.
"""

from __future__ import annotations

import re

import yaml

from kitchend.core.names import spoken
from kitchend.core.plan import Plan
from kitchend.core.pronounced import Sayings, said_as
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, echo
from kitchend.files.section import Section, is_speakable

MOST_SAYINGS = 60
LONGEST_WORD = 60
LONGEST_SAYING = 80

_LETTERS = re.compile(r"[^\W\d_](?:[^\W\d_]|[ '\u2019.,-])*")


def read_sayings(top: Section) -> Sayings:
    """Everything under `say:`; what is complained of is left out."""
    complaints = top.complaints
    node = top.node("say")
    if node is None:
        return ()
    if not isinstance(node, yaml.MappingNode) or not node.value:
        complaints.problem(top.spot("say"), clause("wrong.say"), clause("wrong.say.hint"))
        return ()
    block = Section(node, (), "say", complaints)
    if len(block.keys) > MOST_SAYINGS:
        message = clause("wrong.say.most", most=f"{MOST_SAYINGS}")
        complaints.problem(top.spot("say"), message, clause("wrong.say.most.hint"))
        return ()
    found: dict[str, tuple[str, str]] = {}
    for word in block.keys:
        saying = _saying(word, block)
        if saying is None:
            continue
        name = spoken(word)
        if name in found:
            message = clause("wrong.say.same", word=echo(word), other=echo(found[name][0]))
            complaints.problem(block.key_spot(word), message, clause("wrong.keep.one"))
            continue
        found[name] = (word, saying)
    return tuple(found.values())


def _saying(word: str, block: Section) -> str | None:
    spot = block.key_spot(word)
    if len(word) > LONGEST_WORD or not spoken(word):
        message = clause("wrong.say.word", word=echo(word))
        block.complaints.problem(spot, message, clause("wrong.say.word.hint"))
        return None
    if not is_speakable(word, spot, block.complaints):
        return None
    text = block.text(word, LONGEST_SAYING)
    if text is None:
        return None
    if _LETTERS.fullmatch(text) is None:
        hint = clause("wrong.say.aloud.hint")
        block.complaints.problem(block.spot(word), clause("wrong.say.aloud", text=echo(text)), hint)
        return None
    return text


def doubt_sayings(plan: Plan, top: Section, complaints: Complaints) -> None:
    """Note every word that is said nowhere in the plan."""
    node = top.node("say")
    if node is None or complaints.has_trouble_with("say", "dish", "step", "also", "equipment"):
        return
    block = Section(node, (), "say", Complaints(complaints.file))
    names = " / ".join(_names(plan))
    for word, _ in plan.say:
        if said_as(names, ((word, "\0"),)) == names:
            message = clause("doubt.say", word=echo(word))
            complaints.doubt(block.key_spot(word), message, clause("doubt.say.hint"))


def _names(plan: Plan) -> list[str]:
    names = [plan.name, *plan.cook_names, *(item.name for item in plan.equipment)]
    for dish in plan.dishes:
        names += [dish.name, *dish.also]
        for step in dish.steps:
            names += [step.name, *step.also, step.look_for or ""]
    return [*names, *map(spoken, names)]
