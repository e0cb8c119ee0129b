"""From raw food to food that is eaten as it is, by the order in which a timeline has the same cook do it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.timeline import Planned, Timeline
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.files.plan_yaml import Checked
from kitchend.reports.hands_doubts import hands_doubts, needs_timeline
from kitchend.reports.safety_doubts import safety_doubts
from tests.files.kitchen import checked

RULES = rules_for(Jurisdiction.US_FSIS)
SUPPER = """\
plan: Orchard supper
cooks: 2
dishes:
  - dish: duck
    steps:
      - step: score the duck
        hands: 5 min
        raw: {raw}
      - step: roast the duck
        hands: 1 min
        takes: 50 min
        until: 74 C inside
  - dish: slaw
    steps:
      - step: dress the slaw
        hands: 5 min
  - dish: beans
    steps:
      - step: boil the beans
        hands: 2 min
        takes: 9 min
  - dish: hands
    steps:
      - step: wash the hands
        hands: 1 min
"""


def supper(folder: Path, raw: str = "poultry") -> Checked:
    return checked(folder, SUPPER.replace("{raw}", raw))


def in_order(
    found: Checked, *names: str, cooks: dict[str, int] | None = None, apart_s: int = 600
) -> Timeline:
    """A timeline in which these steps begin `apart_s` after one another."""
    assert found.plan
    by_name = {step.name: step for step in found.plan.steps}
    begin = WallTime(1_780_000_000.0)
    planned = [
        Planned(
            step=by_name[name].id,
            start=begin + apart_s * place,
            end=begin + apart_s * place + 60,
            cook=(cooks or {}).get(name, 0),
        )
        for place, name in enumerate(names)
    ]
    return Timeline(serve=begin + 7200, ready=begin + 7200, late_by_s=0, planned=tuple(planned))


ORDERS = {
    "raw, then salad": (("score the duck", "dress the slaw"), {}, True),
    "raw, then raw, then salad": (("score the duck", "roast the duck", "dress the slaw"), {}, True),
    "raw, hands, salad": (("score the duck", "wash the hands", "dress the slaw"), {}, False),
    "raw, then what is cooked": (("score the duck", "boil the beans", "dress the slaw"), {}, False),
    "salad first": (("dress the slaw", "score the duck"), {}, False),
    "the other cook's salad": (("score the duck", "dress the slaw"), {"dress the slaw": 1}, False),
}


@pytest.mark.parametrize(("names", "cooks", "is_doubtful"), ORDERS.values(), ids=ORDERS)
def test_who_goes_on_to_salad_with_raw_hands_is_doubted(
    tmp_path: Path, names: tuple[str, ...], cooks: dict[str, int], is_doubtful: bool
) -> None:
    found = supper(tmp_path)
    assert found.plan
    timeline = in_order(found, *names, cooks=cooks)
    told = [str(one) for one in hands_doubts(found, found.plan, timeline, RULES)]
    message = "duck.score the duck.raw: 'dress the slaw' follows raw poultry, and no washing of hands between"
    hint = "put in a step, wash the hands, that takes a minute; USDA: wash hands after raw meat"
    assert told == [f"{found.file}:8:14: {message} ({hint})"] * int(is_doubtful)
    assert [str(one) for one in safety_doubts(found, RULES, timeline)] == told


def test_only_raw_poultry_meat_or_fish_beside_something_ready_needs_a_timeline(tmp_path: Path) -> None:
    found, eggs = supper(tmp_path).plan, supper(tmp_path, "eggs").plan
    assert found
    assert eggs
    assert needs_timeline(found, RULES)
    assert not needs_timeline(eggs, RULES)
    cooked = tuple(dish for dish in found.dishes if dish.name in ("duck", "beans"))
    assert not needs_timeline(replace(found, dishes=cooked), RULES)


def test_an_hour_in_between_is_time_to_wash(tmp_path: Path) -> None:
    found = supper(tmp_path)
    assert found.plan
    timeline = in_order(found, "score the duck", "dress the slaw", apart_s=3600)
    assert list(hands_doubts(found, found.plan, timeline, RULES)) == []
