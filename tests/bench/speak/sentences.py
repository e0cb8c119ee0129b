"""Every sentence of the demo plans' dinners: what kitchend says at a rehearsal with typed words."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from unittest.mock import patch

from kitchend.core.effects import CallKind
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal.mouth import StageMouth
from kitchend.rehearsal.rehearsing import rehearse
from kitchend.service.ports import SpeechDone
from kitchend.speaking.ports import PLAIN, Manner

PLANS = Path(__file__).parents[3] / "plans"


def demo_plans(language: str = "en") -> Sequence[Path]:
    """The plans of this language that come along, in order."""
    return [path for path in sorted(PLANS.rglob("*.yaml")) if read_plan(path).language == language]


def said_at(plan: Path, cook: str = "human", seed: int = 1) -> tuple[str, ...]:
    """What is said at one dinner, each sentence once, in order."""
    found: dict[str, None] = {}
    with patch.object(StageMouth, "say", _noting(found)):
        rehearse(plan, cook=cook, seed=seed, ears="typed")
    return tuple(found)


def said_at_all(language: str = "en") -> tuple[str, ...]:
    """What is said at every demo plan's dinner, with a steady cook and with a human one."""
    each = (said_at(plan, cook) for plan in demo_plans(language) for cook in ("steady", "human"))
    return tuple(dict.fromkeys(text for dinner in each for text in dinner))


def _noting(found: dict[str, None]) -> object:
    say = StageMouth.say

    def noting(
        mouth: StageMouth, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN
    ) -> None:
        found[text] = None
        say(mouth, text, kind, on_done, manner)

    return noting
