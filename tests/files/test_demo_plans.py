"""The plans that come with kitchend: without complaint, sayable, safe by the chart, and possible to cook."""

from __future__ import annotations

from pathlib import Path

import pocketsphinx
import pytest

from kitchend.core.clock import Instant, Now, WallTime
from kitchend.core.food_places import row_of
from kitchend.core.names import spoken
from kitchend.core.plan import Plan, Step
from kitchend.doneness.guidance import Jurisdiction
from kitchend.doneness.rules import rules_for
from kitchend.files.plan_yaml import check_plan, read_plan
from kitchend.planning import plan_dinner

FOLDER = Path(__file__).parents[2] / "plans"
FILES = sorted(FOLDER.glob("*.yaml"))
EIGHT_O_CLOCK = Now(Instant(0.0), WallTime(1_767_254_400.0))  # 2026-01-01T08:00:00Z

each_plan = pytest.mark.parametrize("file", FILES, ids=[file.stem for file in FILES])


def test_there_are_three_demo_plans() -> None:
    assert len(FILES) == 3


@each_plan
def test_a_demo_plan_has_nothing_wrong_or_doubtful(file: Path) -> None:
    found = check_plan(file)
    assert [str(one) for one in (*found.problems, *found.warnings)] == []


@each_plan
def test_a_demo_plan_can_be_cooked_by_one_cook_for_its_own_pass(file: Path) -> None:
    plan = read_plan(file)
    assert plan.serve
    assert plan.cooks == 1
    timeline = plan_dinner(plan, now=EIGHT_O_CLOCK, serve=EIGHT_O_CLOCK.wall.next_at(plan.serve))
    assert [conflict.message for conflict in timeline.conflicts] == []
    assert timeline.is_feasible


@each_plan
def test_every_word_of_a_demo_plan_is_in_the_pronouncing_dictionary(file: Path) -> None:
    """The CMU pronouncing dictionary, as it comes inside PocketSphinx."""
    dictionary = Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"))
    known = {
        line.split(maxsplit=1)[0] for line in dictionary.read_text(encoding="utf-8").splitlines() if line
    }
    assert {word for name in _names(read_plan(file)) for word in spoken(name).split()} <= known


def _names(plan: Plan) -> list[str]:
    names = [plan.name, *(item.name for item in plan.equipment)]
    names += [name for dish in plan.dishes for name in (dish.name, *dish.also)]
    return names + [name for step in plan.steps for name in (step.name, *step.also)]


# USDA FSIS, Safe Minimum Internal Temperature Chart, 14 April 2025, in Fahrenheit.
@pytest.mark.parametrize(
    ("name", "dish", "fahrenheit"),
    [
        ("boathouse-sunday", "turkey", 165),
        ("greenhouse-evening", "custard", 160),
        ("riverside-smoke", "pork-shoulder", 145),
    ],
)
def test_what_starts_raw_ends_by_a_reading_of_the_published_minimum(
    name: str, dish: str, fahrenheit: int
) -> None:
    plan = read_plan(FOLDER / f"{name}.yaml")
    [raw] = [step for step in plan.steps if step.raw]
    assert raw.dish == dish
    readings = [step.until for step in plan.steps if step.dish == dish and step.until]
    assert max(reading.celsius for reading in readings) >= (fahrenheit - 32) / 1.8


def test_every_raw_step_of_a_demo_plan_has_a_row_in_the_chart() -> None:
    rules = rules_for(Jurisdiction.US_FSIS)
    plans = [read_plan(file) for file in FILES]
    raw = [(plan, step) for plan in plans for step in plan.steps if step.raw]
    assert [row.kind for plan, step in raw if (row := row_of(plan, step, rules))] == [
        "poultry",
        "egg dishes",
        "whole cuts of meat",
    ]


def test_one_plan_has_no_meat() -> None:
    plan = read_plan(FOLDER / "greenhouse-evening.yaml")
    assert [step.raw for step in plan.steps if step.raw] == ["eggs"]


def test_the_fire_is_fed_for_as_long_as_the_pork_may_take() -> None:
    plan = read_plan(FOLDER / "riverside-smoke.yaml")
    smoke = next(step for step in plan.steps if step.name == "smoke the pork")
    for name in ("feed the fire", "check the vents"):
        repeats: list[Step] = [step for step in plan.steps if step.name == name]
        assert all(step.during == smoke.id for step in repeats)
        last = repeats[-1]
        assert (last.at_s or 0) + (last.every_s or 0) > smoke.takes.high_s


@pytest.mark.parametrize(
    ("name", "caution"),
    [
        ("boathouse-sunday", "wash hands"),
        ("greenhouse-evening", "Raw eggs"),
        ("riverside-smoke", "carbon monoxide"),
    ],
)
def test_a_demo_plan_carries_the_caution_of_its_trade(name: str, caution: str) -> None:
    assert caution in (FOLDER / f"{name}.yaml").read_text(encoding="utf-8")
