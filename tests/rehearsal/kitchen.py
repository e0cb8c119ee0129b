"""A small kitchen for tests of the rehearsal: one dish that ends by reading, one that has a timer."""

from __future__ import annotations

from pathlib import Path

from kitchend.core.plan import Step
from kitchend.files.plan_yaml import read_plan

PLANS = sorted((Path(__file__).parents[2] / "plans").glob("*.yaml"))
BOATHOUSE = next(path for path in PLANS if path.name.startswith("boathouse"))

SUPPER = """
plan: Tuesday supper
serve: "19:00"
equipment:
  oven: {shelves: 2}
  steamer: {tiers: 1}
dishes:
  - dish: chicken
    steps:
      - step: roast the chicken
        hands: 2 min
        takes: 40 to 50 min
        until: 74 C inside
        in: oven at 200 C
        keeps: 10 min
      - step: baste the chicken
        during: roast the chicken
        at: 20 min
        hands: 2 min
      - step: rest the chicken
        takes: 10 min
        keeps: 10 min
      - step: carve the chicken
        hands: 5 min
        keeps: 5 min
  - dish: greens
    steps:
      - step: trim the greens
        hands: 5 min
        keeps: 2 h
      - step: steam the greens
        hands: 1 min
        takes: 4 min
        in: steamer
        keeps: 5 min
"""


def supper(folder: Path) -> Path:
    """The plan's file, written into `folder`."""
    path = folder / "supper.yaml"
    path.write_text(SUPPER, encoding="utf-8")
    return path


def named(path: Path, name: str) -> Step:
    """The step of this name in a plan file."""
    return next(step for step in read_plan(path).steps if step.name == name)
