"""What the readings of a low target are worth as a hold: in the status, on the board, afterwards."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.board.after import story_json, story_of
from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import ENGLISH
from kitchend.core.clock import Instant
from kitchend.core.languages import LANGUAGES
from kitchend.core.plan import StepId
from kitchend.core.state import DinnerState, Manners, Reading
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.files.plan_yaml import read_plan
from kitchend.reports.holds import holds_of
from kitchend.reports.status import status_json, status_text
from tests.service.kitchen import Kitchen

CAUTION = LANGUAGES["en"].sentences["caution.guidance"]

MILL = """\
plan: Mill supper
serve: "20:30"
dishes:
  - dish: beef
    steps:
      - step: warm the beef
        hands: 1 min
        takes: 90 min
        raw: beef
        until: {until} inside
"""
BEEF = StepId("beef/warm-the-beef")


def mill(folder: Path, until: str = "135 F") -> Path:
    path = folder / "mill.yaml"
    path.write_text(MILL.replace("{until}", until), encoding="utf-8")
    return path


def measured(path: Path, *temps_f: float, who: Jurisdiction = Jurisdiction.US_FSIS) -> DinnerState:
    """The dinner with a reading every six minutes."""
    readings = tuple(
        Reading(of=BEEF, celsius=(degrees - 32) / 1.8, at=Instant(360.0 * place))
        for place, degrees in enumerate(temps_f)
    )
    return DinnerState(manners=Manners(rules=rules_for(who)), plan=read_plan(path), readings=readings)


# FDA Food Code 3-401.11(B)(2): 130 F 112 min, 135 F 36 min, 140 F 12 min.
@pytest.mark.parametrize(
    ("temps_f", "shown"),
    [
        ([135, 135], "worth 6 min of the 36 min at 135 F"),
        ([130, 130], "worth 1 min of the 36 min at 135 F"),
        ([120, 135, 135], "worth 6 min of the 36 min at 135 F"),
        ([140, 140, 140], "worth 36 min of the 36 min at 135 F"),
        ([120, 125], "worth 0 min of the 36 min at 135 F"),
    ],
)
def test_readings_are_worth_what_the_food_code_s_table_says(
    tmp_path: Path, temps_f: list[float], shown: str
) -> None:
    (held,) = holds_of(measured(mill(tmp_path), *temps_f))
    assert held.shown().replace("0 s", "0 min") == f"{shown} (FDA Food Code 3-401.11(B)(2))"


def test_the_uk_s_own_holds_are_used_there(tmp_path: Path) -> None:
    # Food Standards Agency: 65 C for ten minutes is two minutes at 70 C, z = 7.5 C; 149 F is 65 C.
    (held,) = holds_of(measured(mill(tmp_path, "65 C"), 149, 149, who=Jurisdiction.UK_FSA))
    assert (held.held_s, held.needed_s) == (int(360 * 10 ** (-5 / 7.5)), 120)
    assert held.shown() == (
        "worth 1 min of the 2 min at 70 C (UK Food Standards Agency, equivalents of 70 C for 2 minutes)"
    )
    (done,) = holds_of(measured(mill(tmp_path, "65 C"), 149, 149, 149, who=Jurisdiction.UK_FSA))
    assert done.held_s >= done.needed_s, "twelve minutes are more than the ten that are printed"
    (low,) = holds_of(measured(mill(tmp_path, "65 C"), 135, 135, 149, who=Jurisdiction.UK_FSA))
    assert low.held_s == 0, "nothing is published below 60 C"


@pytest.mark.parametrize(("until", "temps_f"), [("145 F", [145.0]), ("120 F", [120.0]), ("135 F", [])])
def test_nothing_is_shown_without_a_low_target_a_table_and_a_reading(
    tmp_path: Path, until: str, temps_f: list[float]
) -> None:
    state = measured(mill(tmp_path, until), *temps_f)
    assert holds_of(state) == ()
    assert holds_of(replace(state, manners=Manners())) == ()
    assert holds_of(DinnerState()) == ()


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    """A dinner whose beef was at 135 F for six minutes."""
    kitchen = Kitchen(read_plan(mill(tmp_path)), manners=Manners(rules=rules_for(Jurisdiction.US_FSIS)))
    kitchen.begin()
    kitchen.type("warm the beef is on")
    kitchen.wait(60)
    kitchen.type("the beef is at one hundred and thirty four")
    kitchen.wait(6)
    kitchen.type("the beef is at one hundred and thirty four")
    return kitchen


def test_the_status_shows_the_hold_with_the_caution(kitchen: Kitchen) -> None:
    shape = status_json(kitchen.runner.state, kitchen.clock.now())
    (held,) = shape["holds"]
    assert (held["step"], held["needed_s"], held["caution"]) == ("warm the beef", 36 * 60, CAUTION)
    lines = status_text(shape).splitlines()
    place = lines.index("Time at temperature:")
    assert "warm the beef" in lines[place + 1]
    assert "of the 36 min at 135 F (FDA Food Code 3-401.11(B)(2))" in lines[place + 1]
    assert lines[place + 2] == f"  {CAUTION}"


def test_the_board_shows_the_hold_with_the_caution(kitchen: Kitchen) -> None:
    watcher = Watcher(hears=True, speaks=True)
    view = view_of_dinner(kitchen.runner.state, kitchen.clock.now(), watcher, ENGLISH)
    (held,) = view["holds"]
    assert held.startswith("warm the beef: Time at temperature: worth ")
    assert view["guidance"] == CAUTION


def test_what_it_was_worth_stands_in_the_story_afterwards(kitchen: Kitchen) -> None:
    story = story_of(kitchen.journal.events())
    assert story
    (held,) = story_json(story)["holds"]
    assert (held["step"], held["needed_s"], held["degrees"]) == ("warm the beef", 36 * 60, "135 F")
