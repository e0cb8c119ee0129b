"""What a plan file means: every key, chains and reminders, and the words YAML 1.1 would have changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.clock import TimeOfDay
from kitchend.core.plan import GRACE_S, Equipment, EquipmentId, PlaceWord, Step, StepId, Use
from kitchend.core.quantities import DurationRange, Scale, Temperature
from kitchend.errors import PlanError
from kitchend.files.plan_yaml import read_plan
from tests.files.kitchen import checked, problems, with_step, with_steps

EVERY_KEY = """\
plan: Test supper
serve: 19:30
people: 6
cooks: 2
equipment:
  oven: {shelves: 3, preheat: 20 min}
  hob: {rings: 4}
  grill:
dishes:
  - dish: chicken
    also: [bird, the big one]
    steps:
      - step: season the chicken
        also: salt it
        hands: 8 min
        raw: poultry
        keeps: all day
      - step: roast the chicken
        hands: 2 min
        takes: 70 to 85 min
        until: 165 F inside
        in: oven, 2 shelves at 200 C
        look for: juices run clear
      - step: turn the chicken
        during: roast the chicken
        at: 35 min
        hands: 2 min
      - step: cover the chicken
        takes: PT15M
        keeps: 25 min
  - dish: rice
    steps:
      - step: boil the rice
        after: [season the chicken]
        takes: 12 min
        on: ["hob, 2 rings", grill]
      - step: toast the nuts
        after: []
        hands: 3 min
"""


def _steps(folder: Path, contents: str) -> dict[str, Step]:
    found = checked(folder, contents)
    assert problems(found) == []
    assert found.plan
    return {step.id: step for step in found.plan.steps}


def test_an_article_before_a_name_is_left_to_the_sentences(tmp_path: Path) -> None:
    contents = EVERY_KEY.replace("  oven: {", "  the Big Oven: {").replace("in: oven, ", "in: big oven, ")
    contents = contents.replace('on: ["hob', 'on: ["the hob').replace("dish: rice", "dish: The rice")
    found = checked(tmp_path, contents)
    assert problems(found) == []
    assert found.plan
    assert [item.name for item in found.plan.equipment] == ["Big Oven", "hob", "grill"]
    assert [(dish.id, dish.name) for dish in found.plan.dishes] == [("chicken", "chicken"), ("rice", "rice")]


def test_every_key_of_the_plan_itself_is_read(tmp_path: Path) -> None:
    plan = checked(tmp_path, EVERY_KEY).plan
    assert plan
    assert (plan.name, plan.serve, plan.people, plan.cooks) == ("Test supper", TimeOfDay(19, 30), 6, 2)
    assert plan.equipment == (
        Equipment(id=EquipmentId("oven"), name="oven", places=3, preheat_s=1200, word=PlaceWord.SHELVES),
        Equipment(id=EquipmentId("hob"), name="hob", places=4, word=PlaceWord.RINGS),
        Equipment(id=EquipmentId("grill"), name="grill", places=1),
    )
    assert [(dish.name, dish.also) for dish in plan.dishes] == [
        ("chicken", ("bird", "the big one")),
        ("rice", ()),
    ]


def test_every_key_of_a_step_is_read(tmp_path: Path) -> None:
    steps = _steps(tmp_path, EVERY_KEY)
    season = steps["chicken/season-the-chicken"]
    assert (season.hands_s, season.takes) == (480, DurationRange(low_s=480, high_s=480))
    assert (season.raw, season.also, season.keeps_s, season.after) == ("poultry", ("salt it",), None, ())
    roast = steps["chicken/roast-the-chicken"]
    assert (roast.hands_s, roast.takes) == (120, DurationRange(low_s=4200, high_s=5100))
    assert roast.until == Temperature(degrees=165.0, scale=Scale.FAHRENHEIT)
    assert roast.uses == (Use(equipment=EquipmentId("oven"), places=2, at=Temperature(degrees=200.0)),)
    assert (roast.look_for, roast.keeps_s) == ("juices run clear", GRACE_S)
    turn = steps["chicken/turn-the-chicken"]
    assert (turn.during, turn.at_s, turn.every_s, turn.after) == (roast.id, 2100, None, ())
    boil = steps["rice/boil-the-rice"]
    assert boil.uses == (Use(equipment=EquipmentId("hob"), places=2), Use(equipment=EquipmentId("grill")))


def test_a_step_follows_the_one_above_unless_after_says_otherwise(tmp_path: Path) -> None:
    after = {step.id: step.after for step in _steps(tmp_path, EVERY_KEY).values()}
    assert after == {
        "chicken/season-the-chicken": (),
        "chicken/roast-the-chicken": ("chicken/season-the-chicken",),
        "chicken/turn-the-chicken": (),
        "chicken/cover-the-chicken": ("chicken/roast-the-chicken",),
        "rice/boil-the-rice": ("chicken/season-the-chicken",),
        "rice/toast-the-nuts": (),
    }


def test_a_reminder_is_repeated_for_half_as_long_again_as_its_step(tmp_path: Path) -> None:
    contents = with_steps(
        "boil the beans; takes: 50 to 60 min",
        "stir the beans; during: boil the beans; every: 20 min; hands: 1 min",
    )
    steps = _steps(tmp_path, contents)
    assert {step.id: step.at_s for step in steps.values() if step.every_s} == {
        f"greens/stir-the-beans#{number}": 1200 * number for number in (1, 2, 3, 4)
    }
    assert {step.name for step in steps.values()} == {"boil the beans", "stir the beans"}


@pytest.mark.parametrize("time", ["hands: 0 min", "takes: 0 min"])
def test_a_step_of_no_length_takes_no_time(tmp_path: Path, time: str) -> None:
    taste = _steps(tmp_path, with_steps(f"taste the broth; {time}"))["greens/taste-the-broth"]
    assert (taste.hands_s, taste.takes) == (0, DurationRange(low_s=0, high_s=0))


def test_names_are_found_whatever_their_case_and_spacing(tmp_path: Path) -> None:
    contents = with_steps("Boil the  rice; takes: 9 min", "drain; after: BOIL the rice; hands: 1 min")
    assert _steps(tmp_path, contents)["greens/drain"].after == ("greens/boil-the-rice",)


def test_a_name_means_the_step_of_its_own_dish_first(tmp_path: Path) -> None:
    contents = with_steps("trim it; hands: 2 min", "boil it; takes: 5 min; after: trim it")
    other = "  - dish: kale\n    steps:\n      - step: trim it\n        hands: 3 min\n"
    assert _steps(tmp_path, contents + other)["greens/boil-it"].after == ("greens/trim-it",)


@pytest.mark.parametrize(
    ("serve", "time"),
    [("19:30", TimeOfDay(19, 30)), ('"19:30"', TimeOfDay(19, 30)), ("7:05 pm", TimeOfDay(19, 5))],
)
def test_the_pass_is_read_quoted_or_not(tmp_path: Path, serve: str, time: TimeOfDay) -> None:
    """Unquoted, 19:30 is the number 1170 to YAML 1.1 (its base-60 integers); a cook means half past seven."""
    found = checked(tmp_path, f"serve: {serve}\n" + with_step("hands: 3 min"))
    assert found.plan
    assert found.plan.serve == time


def test_on_is_a_key_and_not_the_truth_value_of_yaml(tmp_path: Path) -> None:
    """YAML 1.1 reads a plain `on` as true."""
    steps = _steps(tmp_path, with_step("takes: 5 min", "on: hob"))
    assert steps["greens/steam-the-greens"].uses == (Use(equipment=EquipmentId("hob")),)


@pytest.mark.parametrize(
    ("text", "use"),
    [
        ("in: oven at 180 C", Use(equipment=EquipmentId("oven"), at=Temperature(degrees=180.0))),
        (
            "in: oven at 180 C, 2 shelves",
            Use(equipment=EquipmentId("oven"), places=2, at=Temperature(degrees=180.0)),
        ),
        ("in: oven, 1 shelf, at 180 C", Use(equipment=EquipmentId("oven"), at=Temperature(degrees=180.0))),
        ("on: Hob, 4 rings", Use(equipment=EquipmentId("hob"), places=4)),
    ],
)
def test_counts_and_temperatures_come_in_either_order(tmp_path: Path, text: str, use: Use) -> None:
    assert _steps(tmp_path, with_step("takes: 5 min", text))["greens/steam-the-greens"].uses == (use,)


def test_a_windows_file_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    contents = with_step("hands: 3 min").replace("\n", "\r\n").encode("utf-8-sig")
    assert checked(tmp_path, contents).plan


def test_accents_stay_in_the_name_and_leave_the_id(tmp_path: Path) -> None:
    steps = _steps(tmp_path, with_steps("sauté the crème; hands: 3 min"))
    assert steps[StepId("greens/saute-the-creme")].name == "sauté the crème"


def test_reading_a_bad_plan_raises_with_every_problem(tmp_path: Path) -> None:
    file = tmp_path / "plan.yaml"
    file.write_text(with_step("takes: 12", "keep: 3 min"))
    with pytest.raises(PlanError) as caught:
        read_plan(file)
    assert [(problem.line, problem.field) for problem in caught.value.problems] == [
        (9, "greens.steam the greens.takes"),
        (10, "greens.steam the greens.keep"),
    ]
    assert str(caught.value) == (
        f"{file}:9:16: greens.steam the greens.takes: 12 has no unit (say 12 min or 12 h) and 1 more"
    )


def test_a_good_plan_is_read_without_complaint(tmp_path: Path) -> None:
    file = tmp_path / "plan.yaml"
    file.write_text(EVERY_KEY)
    assert read_plan(str(file)).name == "Test supper"


def test_the_chance_of_the_pass_is_read_as_a_part_of_one(tmp_path: Path) -> None:
    contents = with_step("hands: 2 min")
    without = checked(tmp_path, contents).plan
    found = checked(tmp_path, contents.replace("equipment:", "chance: 75 %\nequipment:")).plan
    assert without
    assert found
    assert (without.chance, found.chance) == (None, 0.75)


def test_cooks_may_be_given_by_name(tmp_path: Path) -> None:
    found = checked(
        tmp_path, with_step("hands: 2 min").replace("equipment:", "cooks: [Mira, Jürgen]\nequipment:")
    )
    assert found.plan is not None, problems(found)
    assert (found.plan.cooks, found.plan.cook_names) == (2, ("Mira", "Jürgen"))


@pytest.mark.parametrize(("written", "seconds"), [("2 min", 120), ("PT10M", 600), ("none", 0), (None, None)])
def test_a_step_says_how_long_before_it_the_cook_is_told(
    tmp_path: Path, written: str | None, seconds: int | None
) -> None:
    ready = [] if written is None else [f"ready: {written}"]
    [step] = _steps(tmp_path, with_step("hands: 2 min", *ready)).values()
    assert step.ready_s == seconds
