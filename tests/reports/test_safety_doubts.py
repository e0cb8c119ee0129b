"""What published guidance makes doubtful in a plan, each doubt with its place and its source.

The table is `safety_doubts.txt` in `tests/files`; its figures are of the default guidance, USDA FSIS. What
other jurisdictions say of one plan is compared here. The sources of the figures stand in `kitchend/doneness`,
and the checks against them in `tests/doneness`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.reports.safety_doubts import safety_doubts
from tests.files.kitchen import cases, checked, with_step, with_steps

CASES = cases("safety_doubts.txt")
FSIS = Jurisdiction.US_FSIS


def doubts(folder: Path, contents: str, who: Jurisdiction = FSIS) -> list[str]:
    found = checked(folder, contents)
    shown = (str(doubt) for doubt in safety_doubts(found, rules_for(who)))
    return [doubt.removeprefix(f"{found.file}:") for doubt in shown]


@pytest.mark.parametrize(("contents", "expected"), CASES.values(), ids=CASES)
def test_a_doubt_says_where_what_and_by_whom(tmp_path: Path, contents: str, expected: list[str]) -> None:
    assert doubts(tmp_path, contents) == expected


# Whole cuts: FSIS 145 F and a rest, Food Code 145 F for 15 s, UK 70 C for two minutes (65 C for ten).
# Poultry: 165 F, and 70 C for two minutes in the UK. Minced: FSIS 160 F, Food Code 155 F
# for 17 s (3-401.11(A)(2)).
@pytest.mark.parametrize(
    ("raw", "until", "whose"),
    [
        ("pork", "63 C", ["uk-fsa"]),
        ("pork", "60 C", ["us-fsis", "us-food-code", "uk-fsa"]),
        ("pork", "70 C", []),
        ("poultry", "70 C", ["us-fsis", "us-food-code"]),
        ("poultry", "165 F", []),
        ("minced pork", "155 F", ["us-fsis", "uk-fsa"]),
        ("minced pork", "70 C", ["us-fsis"]),
        ("eggs", "145 F", ["us-fsis", "uk-fsa"]),
        ("trout", "145 F", ["uk-fsa"]),
    ],
)
def test_each_jurisdiction_has_its_own_least(tmp_path: Path, raw: str, until: str, whose: list[str]) -> None:
    contents = with_step("takes: 50 min", f"raw: {raw}", f"until: {until} inside")
    assert [who.value for who in Jurisdiction if doubts(tmp_path, contents, who)] == whose


# Holding: USDA 140 F (60 C), Food Code 3-501.16 135 F (57 C), roasts by the table 130 F (54 C), UK 63 C.
@pytest.mark.parametrize(
    ("raw", "celsius", "whose"),
    [
        ("poultry", 64, []),
        ("poultry", 61, ["uk-fsa"]),
        ("poultry", 58, ["us-fsis", "uk-fsa"]),
        ("poultry", 55, ["us-fsis", "us-food-code", "uk-fsa"]),
        ("pork", 55, ["us-fsis", "uk-fsa"]),
        ("pork", 53, ["us-fsis", "us-food-code", "uk-fsa"]),
    ],
)
def test_hot_holding_is_the_jurisdictions_own(
    tmp_path: Path, raw: str, celsius: int, whose: list[str]
) -> None:
    contents = with_steps(
        f"roast it; takes: 1 h; raw: {raw}; until: 80 C; in: oven at 180 C",
        f"hold it; takes: 20 min; in: oven at {celsius} C",
    )
    told = {who.value: doubts(tmp_path, contents, who) for who in Jurisdiction}
    assert [who for who, lines in told.items() if any("keep food hot" in line for line in lines)] == whose


# UK Food Standards Agency: 60 C for 45 minutes, 65 C for 10; burgers 93 minutes at 60 C (ACMSF, 2007).
@pytest.mark.parametrize(
    ("raw", "held_min", "is_doubtful"),
    [("poultry", 45, False), ("poultry", 44, True), ("minced beef", 92, True), ("minced beef", 93, False)],
)
def test_the_uk_equivalent_hold_counts(tmp_path: Path, raw: str, held_min: int, is_doubtful: bool) -> None:
    contents = with_steps(
        f"warm it; takes: 1 h; raw: {raw}; until: 60 C; in: oven at 60 C",
        f"go on with it; takes: {held_min} min; in: oven at 60 C",
    )
    told = doubts(tmp_path, contents, Jurisdiction.UK_FSA)
    assert any("until" in line for line in told) is is_doubtful


def test_a_plan_with_problems_gets_no_doubts_of_this_kind(tmp_path: Path) -> None:
    contents = with_step("takes: 50 min", "raw: poultry", "until: 74")
    assert checked(tmp_path, contents).problems
    assert doubts(tmp_path, contents) == []


# Food Code 3-401.11(B)(1): an oven of 325 F with a fan or 350 F still below 10 lb, of 250 F from there on.
@pytest.mark.parametrize(
    ("place", "weight", "until", "whose"),
    [
        ("oven at 240 F", "6 kg", "135 F", ["us-food-code"]),
        ("oven at 250 F", "6 kg", "135 F", []),
        ("oven at 300 F", "2 kg", "135 F", ["us-food-code"]),
        ("oven at 325 F", "2 kg", "135 F", []),
        ("oven at 300 F", "2 kg", "145 F", []),
        ("oven at 240 F", None, "135 F", ["us-food-code"]),
        ("bath at 137 F", "2 kg", "135 F", []),
    ],
)
def test_a_roast_by_the_table_of_low_targets_has_the_oven_that_goes_with_it(
    tmp_path: Path, place: str, weight: str | None, until: str, whose: list[str]
) -> None:
    keys = [f"in: {place}", f"until: {until} inside", *([f"weight: {weight}"] if weight else [])]
    contents = with_steps(f"roast it; takes: 3 h; raw: pork; {'; '.join(keys)}", "serve it; takes: 5 min")
    contents = contents.replace("equipment:\n", "equipment:\n  bath: {places: 1}\n", 1)
    told = {who.value: doubts(tmp_path, contents, who) for who in Jurisdiction}
    found = [who for who, lines in told.items() if any("for a roast that ends at" in line for line in lines)]
    assert found == whose


# Food Code 3-403.11: what a plant packed is reheated to 135 F; Scotland reheats to 82 C.
def test_reheating_names_what_else_the_same_guidance_has(tmp_path: Path) -> None:
    contents = with_steps("reheat it; takes: 20 min; until: 50 C")
    told = {who: doubts(tmp_path, contents, who)[0] for who in Jurisdiction}
    assert (
        "what a plant cooked and packed needs 57 C (135 F), FDA Food Code" in told[Jurisdiction.US_FOOD_CODE]
    )
    assert "in Scotland 82 C (180 F), Food Hygiene (Scotland)" in told[Jurisdiction.UK_FSA]
    assert "ham" not in told[FSIS]


# Food Code 3-501.19: four hours where it is marked, six from the cold at 70 F or less.
def test_the_food_code_alone_lets_marked_food_be_out_longer(tmp_path: Path) -> None:
    contents = with_steps("roast it; takes: 1 h; raw: pork; until: 80 C; in: oven at 180 C; keeps: 3 h")
    told = {who: " ".join(doubts(tmp_path, contents, who)) for who in Jurisdiction}
    marked = "it may be out for 4 h, cold food at 21 C (70 F) or less for 6 h, FDA Food Code 3-501.19"
    assert [who for who, lines in told.items() if marked in lines] == [Jurisdiction.US_FOOD_CODE]
