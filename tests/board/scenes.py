"""A dinner with all that a board has to show at once: two passes, two cooks, what spoils, a question."""

from __future__ import annotations

from pathlib import Path

from kitchend.core.plan import Plan
from kitchend.files.merging import Part, merge_plans
from kitchend.files.plan_yaml import read_plan
from tests.board.served import SUPPER
from tests.service.kitchen import Kitchen

STARTER = """
plan: Terrace starter
cooks: [Mira, Jonas]
equipment:
  hob: {rings: 3}
dishes:
  - dish: leek soup
    steps:
      - step: slice the leeks
        hands: 6 min
        keeps: 2 h
      - step: simmer the soup
        hands: 2 min
        takes: 20 min
        on: hob
        keeps: 10 min
  - dish: croutons
    steps:
      - step: fry the croutons
        hands: 1 min
        takes: 5 min
        on: hob
        keeps: 3 min
"""
BEFORE_S = 2400


def two_plans(folder: Path) -> Plan:
    """The starter forty minutes before the supper, for two cooks with names."""
    parts = []
    supper = SUPPER.replace("people: 6", "people: 6\ncooks: [Mira, Jonas]")
    for name, text, before_s in (("starter.yaml", STARTER, BEFORE_S), ("supper.yaml", supper, 0)):
        (folder / name).write_text(text, encoding="utf-8")
        parts.append(Part(plan=read_plan(folder / name), file=name, before_s=before_s))
    return merge_plans(parts, None).plan


def in_full_swing(folder: Path) -> Kitchen:
    """The ham bakes and was read, forgotten croutons spoil, quiet is wanted, the spinach is in question."""
    kitchen = Kitchen(two_plans(folder))
    kitchen.begin()
    kitchen.type("score the ham")
    kitchen.wait(7)
    for words in ("ham scored", "heat the oven is done", "ham is on", "leeks sliced"):
        kitchen.type(words)
    kitchen.wait(9)
    kitchen.type("the ham is at 30")
    kitchen.type("fry the croutons is on")
    kitchen.wait(12)
    kitchen.type("the ham is at 41")
    kitchen.type("quiet for ten minutes")
    kitchen.type("drop the spinach")
    return kitchen
