"""Charcoal and gas in a closed room, as far as a plan's words tell. The usual caution, never a judgement."""

from __future__ import annotations

from collections.abc import Iterator

from kitchend.core.plan import EquipmentId, Plan, StepId
from kitchend.core.safety_rules import words_in
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked

CHARCOAL = frozenset("charcoal coal coals embers briquettes briquets 숯 숯불 연탄 번개탄".split())
GAS = frozenset("gas propane butane camping 가스 부탄가스 부탄".split())
OPEN_FLAME = frozenset("grill barbecue heater stove burner smoker cooker bbq 그릴 버너 난로 화로".split())
INDOORS = frozenset(
    "indoors indoor inside kitchen garage tent porch cellar basement conservatory shed caravan room "
    "실내 안 방 부엌 주방 거실 천막 텐트 차고 창고 베란다".split()
)
OUTDOORS = frozenset(
    "outdoors outdoor outside open air garden yard courtyard terrace patio beach field river "
    "밖 바깥 밖에서 바깥에서 야외 야외에서 마당 마당에서 정원 옥상 강가 바닷가".split()
)


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
