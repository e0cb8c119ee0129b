"""A whole rehearsal followed on the page: whatever kitchend says there, the page says, in the same order."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

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

pytestmark = pytest.mark.slow
AT_KITCHEND = "kitchend  "


class Followed(Production):
    """A rehearsal whose stage is handed over before it plays."""

    on_stage: Callable[[Stage], None]

    def _set(self, serve: TimeOfDay | None) -> Stage:
        stage = super()._set(serve)
        self.on_stage(stage)
        return stage


def test_a_whole_rehearsal_is_followed_on_the_page(browser: Browser, tmp_path: Path) -> None:
    plan = read_plan(plan_in(tmp_path, SUPPER))
    said: list[str] = []
    shown: list[Page] = []

    def on_line(line: str) -> None:
        """Before the next line comes, the page has the one before."""
        if shown and said:
            expect(shown[0].locator("#calls p").last).to_have_text(said[-1])
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
                board(house, MemoryPlans({}), places_in(tmp_path), Wanted(port=0), said.append)
            )
            page = browser.new_page()
            stack.callback(page.close)
            page.goto(f"http://127.0.0.1:{up.port}")
            expect(page.locator("#pass-words")).to_have_text("No dinner is on.")
            page.evaluate(
                """() => { window.all = []; new MutationObserver(found => found.forEach(
                one => one.addedNodes.forEach(node => window.all.push(node.textContent))))
                .observe(document.getElementById('calls'), {childList: true}); }"""
            )
            shown.append(page)

        production = Followed(plan, CHARACTERS["steady"], 1, ears=TypedEars(), on_line=on_line)
        production.on_stage = on_stage
        score = production.play(None, "typed")
        page = shown[0]
        expect(page.locator("#calls p").last).to_have_text(said[-1])
        assert page.evaluate("window.all") == said
        expect(page.locator("#pass-words")).to_have_text("No dinner is on.")
    assert score.is_good
    assert len(said) > 20
