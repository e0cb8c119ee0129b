"""Charcoal and gas in a closed room, as far as a plan's words tell. The usual caution, never a judgement."""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.food_words import words_for
from kitchend.core.plan import EquipmentId, Plan, StepId
from kitchend.core.safety_rules import words_in
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked

CHARCOAL = frozenset(words_for("charcoal"))
GAS = frozenset(words_for("gas"))
OPEN_FLAME = frozenset(words_for("open flame"))
INDOORS = frozenset(words_for("indoors"))
OUTDOORS = frozenset(words_for("outdoors"))


def fire_doubts(checked: Checked, plan: Plan) -> Iterator[Problem]:
    """One doubt for charcoal that nothing says is outdoors, one for each fire that is said to be indoors."""
    places: list[tuple[StepId | EquipmentId, str]] = [(item.id, item.name) for item in plan.equipment]
    places += [(step.id, f"{step.name} {step.look_for or ''}") for step in plan.iter_steps()]
    is_outdoors = any(words_in(text) & OUTDOORS for _, text in places)
    fires = [(where, words_in(text)) for where, text in places if _burns(text)]
    indoors = [where for where, words in fires if words & INDOORS and not words & OUTDOORS]
    for where in dict.fromkeys(indoors):
        yield checked.doubt(where, "step", clause("doubt.indoors"), clause("doubt.carbon"))
    charcoal = [where for where, words in fires if words & CHARCOAL]
    if charcoal and not indoors and not is_outdoors:
        hint = clause("doubt.charcoal.hint", caution=clause("doubt.carbon"))
        yield checked.doubt(charcoal[0], "step", clause("doubt.charcoal"), hint)


def _burns(text: str) -> bool:
    words = words_in(text)
    return bool(words & CHARCOAL or (words & GAS and words & OPEN_FLAME))
