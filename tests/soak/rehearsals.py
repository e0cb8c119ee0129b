"""Many dinners with typed words: demo plans and made-up ones, steady and human cooks, seed after seed.

Shakes the core, the planner and the phrases together. A dinner is bad when a step is left undone, a timer
lost, something done that was not said, a phrase not understood as meant, or a part of kitchend complains. Bad
dinners are printed with what makes them again, and the script ends with 1.

    python tests/soak/rehearsals.py [--dinners 200] [--from 1]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from kitchend.rehearsal import rehearse
from kitchend.reports.rehearsal import Rehearsal

PLANS = sorted((Path(__file__).parents[2] / "plans").glob("*.yaml"))
THINGS = (
    "beetroot leeks plums noodles trout dumplings sweetcorn lentils pears chestnuts polenta radishes mussels"
).split()
COLD = ("slice", "chop", "dress", "wash", "peel")
HOT = ("steam", "fry", "boil", "braise", "warm", "bake", "grill")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dinner:
    """One dinner to play: the plan's file, who cooks, which seed."""

    path: Path
    cook: str
    seed: int


def dinners(first: int, count: int, folder: Path) -> Iterator[Dinner]:
    """So many dinners: by turns a demo plan and a made-up one, a human and (every fourth) a steady cook."""
    for seed in range(first, first + count):
        cook = "steady" if seed % 4 == 0 else "human"
        path = PLANS[seed // 2 % len(PLANS)] if seed % 2 else made_up(seed, folder)
        yield Dinner(path=path, cook=cook, seed=seed)


def made_up(seed: int, folder: Path) -> Path:
    """A plan drawn from the seed: two to five dishes, a few shared things, ranges, reminders, a reading."""
    rng = Random(seed)
    things = rng.sample(THINGS, rng.randint(2, 5))
    dishes = "".join(dish(thing, rng, is_centrepiece=place == 0) for place, thing in enumerate(things))
    head = f"plan: made up {seed}\nserve: '20:00'\n"
    text = f"{head}equipment:\n  oven: {{shelves: 3}}\n  hob: {{rings: 4}}\ndishes:\n"
    path = folder / f"made-up-{seed}.yaml"
    path.write_text(text + dishes, encoding="utf-8")
    return path


def dish(thing: str, rng: Random, *, is_centrepiece: bool) -> str:
    """One dish: perhaps cold work first, then something hot, perhaps a rest."""
    lines = [f"  - dish: {thing}", "    steps:"]
    if rng.random() < 0.8:
        lines += step(f"{rng.choice(COLD)} the {thing}", f"hands: {rng.randint(2, 12)} min", "keeps: 3 h")
    low = rng.randint(5, 60)
    high = low + (rng.randint(2, 20) if is_centrepiece or rng.random() < 0.3 else 0)
    takes = f"takes: {low} to {high} min" if high > low else f"takes: {low} min"
    hot = f"{rng.choice(HOT)} the {thing}"
    until = [f"until: {rng.randint(60, 95)} C inside"] if is_centrepiece else []
    place = f"in: oven at {rng.choice((180, 185, 190))} C" if rng.random() < 0.5 else "on: hob"
    lines += step(hot, f"hands: {rng.randint(1, 3)} min", takes, *until, place, "keeps: 30 min")
    if low > 20 and rng.random() < 0.6:
        lines += step(f"turn the {thing}", f"during: {hot}", f"at: {low // 2} min", "hands: 1 min")
    if rng.random() < 0.3:
        lines += step(f"rest the {thing}", f"takes: {rng.randint(3, 10)} min", "keeps: 30 min")
    return "\n".join(lines) + "\n"


def step(name: str, *facts: str) -> list[str]:
    """One step as lines of YAML."""
    return [f"      - step: {name}", *(f"        {fact}" for fact in facts)]


def faults(score: Rehearsal, lines: list[str]) -> list[str]:
    """What is wrong with a dinner that was played."""
    found = [line.strip() for line in lines if line.strip().startswith("!")]
    found += [f"not understood: {phrase.said}" for phrase in score.phrases if not phrase.right]
    found += [f"lost timer: {name}" for name in score.lost_timers]
    found += [f"done unsaid: {move}" for move in score.unsaid]
    if score.steps_done != score.steps or score.served is None:
        found.append(f"{score.steps_done} of {score.steps} steps done")
    return found


def play(dinner: Dinner) -> list[str]:
    """Play one dinner, print a line about it, give what was wrong with it."""
    lines: list[str] = []
    score = rehearse(dinner.path, cook=dinner.cook, seed=dinner.seed, ears="typed", on_line=lines.append)
    wrong = faults(score, lines)
    late = "never" if score.late_by_s is None else f"{score.late_by_s / 60:+.0f} min"
    print(
        f"{dinner.seed:5d}  {dinner.cook:<6}  {score.plan:<20}  {late:>8}  {score.calls:3d} calls, "
        f"{score.busiest:2d} in 10 min  {len(score.phrases):3d} phrases  {score.took_s:5.1f} s",
        *(f"\n       {fault}" for fault in wrong),
        flush=True,
    )
    return wrong


def main() -> int:
    """Play them all; 1 if any was bad."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--dinners", type=int, default=200)
    parser.add_argument("--from", type=int, default=1, dest="first")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="kitchend-soak-") as folder:
        bad = [dinner for dinner in dinners(asked.first, asked.dinners, Path(folder)) if play(dinner)]
    print(f"{asked.dinners} dinners, {len(bad)} bad{': seeds ' if bad else ''}", *(one.seed for one in bad))
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
