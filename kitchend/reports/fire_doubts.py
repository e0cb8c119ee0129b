"""Charcoal and gas in a closed room, as far as a plan's words tell. The usual caution, never a judgement."""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.plan import EquipmentId, Plan, StepId
from kitchend.core.safety_rules import words_in
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked

CHARCOAL = frozenset("charcoal coal coals embers briquettes briquets".split())
GAS = frozenset("gas propane butane camping".split())
OPEN_FLAME = frozenset("grill barbecue heater stove burner smoker cooker bbq".split())
INDOORS = frozenset(
    "indoors indoor inside kitchen garage tent porch cellar basement conservatory shed caravan room".split()
)
OUTDOORS = frozenset(
    "outdoors outdoor outside open air garden yard courtyard terrace patio beach field river".split()
)
CAUTION = "carbon monoxide has no smell and kills: burn it in the open air only"


def fire_doubts(checked: Checked, plan: Plan) -> Iterator[Problem]:
    """One doubt for charcoal that nothing says is outdoors, one for each fire that is said to be indoors."""
    places: list[tuple[StepId | EquipmentId, str]] = [(item.id, item.name) for item in plan.equipment]
    places += [(step.id, f"{step.name} {step.look_for or ''}") for step in plan.iter_steps()]
    is_outdoors = any(words_in(text) & OUTDOORS for _, text in places)
    fires = [(where, words_in(text)) for where, text in places if _burns(text)]
    indoors = [where for where, words in fires if words & INDOORS and not words & OUTDOORS]
    for where in dict.fromkeys(indoors):
        yield checked.doubt(where, "step", "a fire of charcoal or gas indoors?", CAUTION)
    charcoal = [where for where, words in fires if words & CHARCOAL]
    if charcoal and not indoors and not is_outdoors:
        message = "charcoal burns here, and nothing says that it is outdoors"
        yield checked.doubt(charcoal[0], "step", message, f"{CAUTION}; say so in `look for`")


def _burns(text: str) -> bool:
    words = words_in(text)
    return bool(words & CHARCOAL or (words & GAS and words & OPEN_FLAME))
