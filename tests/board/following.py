"""A whole rehearsal followed by somebody who looks at the page, whichever browser it is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Protocol

from kitchend.board.serving import Board, Wanted, board
from kitchend.core.clock import TimeOfDay
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import TypedEars
from kitchend.rehearsal.production import Production
from kitchend.rehearsal.stage import Stage
from kitchend.service.house import House
from kitchend.service.memory import MemoryPlans
from kitchend.service.planner import SolvingPlanner
from tests.board.served import SUPPER, places_in
from tests.service.kitchen import plan_in

AT_KITCHEND = "kitchend  "
NOTE_CALLS = """window.all = []; new MutationObserver(found => found.forEach(
    one => one.addedNodes.forEach(node => window.all.push(node.textContent))))
    .observe(document.getElementById('calls'), {childList: true});"""


class Onlooker(Protocol):
    """Whoever looks at the page."""

    def look_at(self, address: str) -> None:
        """Open the page, wait until it shows that no dinner is on, and note the calls from then on."""

    def wait_for_call(self, call: str) -> None:
        """Until the last call on the page is this one."""

    def calls(self) -> list[str]:
        """Every call that the page gave to a screen reader, in its order."""

    def sees_no_dinner(self) -> bool:
        """Whether the page says that no dinner is on."""


class Followed(Production):
    """A rehearsal whose stage is handed over before it plays."""

    on_stage: Callable[[Stage], None]

    def _set(self, serve: TimeOfDay | None) -> Stage:
        stage = super()._set(serve)
        self.on_stage(stage)
        return stage


def follow_a_rehearsal(folder: Path, onlooker: Onlooker) -> None:
    """Play a dinner; fails where the page does not say what kitchend says, in the same order."""
    said: list[str] = []

    def on_line(line: str) -> None:
        """Before the next line comes, the page has the one before."""
        if said:
            onlooker.wait_for_call(said[-1])
        _, is_kitchends, words = line.partition(AT_KITCHEND)
        if is_kitchends:
            said.append(words)

    with ExitStack() as stack:

        def on_stage(stage: Stage) -> None:
            house = House(
                runner=stage.runner,
                clock=stage.clock,
                planner=SolvingPlanner(),
                last=None,
                hears=True,
                speaks=True,
            )
            up: Board = stack.enter_context(
                board(house, MemoryPlans({}), places_in(folder), Wanted(port=0), said.append)
            )
            onlooker.look_at(f"http://127.0.0.1:{up.port}")

        plan = read_plan(plan_in(folder, SUPPER))
        production = Followed(plan, CHARACTERS["steady"], 1, ears=TypedEars(), on_line=on_line)
        production.on_stage = on_stage
        score = production.play(None, "typed")
        onlooker.wait_for_call(said[-1])
        assert onlooker.calls() == said
        assert onlooker.sees_no_dinner()
    assert score.is_good
    assert len(said) > 20
