"""`say:` in a plan file: what is read, what is wrong with it, what is doubtful."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.core.pronounced import pronounced
from kitchend.files.merging import Part, merge_plans
from kitchend.files.plan_yaml import Checked, check_plan

PLAN = """plan: Harbour supper
equipment:
  hob: {rings: 2}
dishes:
  - dish: quinoa
    also: [grains]
    steps:
      - step: rinse the quinoa
        hands: 2 min
        keeps: 1 h
      - step: simmer the quinoa
        hands: 1 min
        takes: 15 min
        on: hob
        keeps: 10 min
"""


def checked(folder: Path, say: str, plan: str = PLAN) -> Checked:
    path = folder / "harbour.yaml"
    path.write_text(f"{plan}say: {say}\n", encoding="utf-8")
    return check_plan(path)


def told(found: Checked) -> list[str]:
    return [str(one).removeprefix(f"{found.file}:") for one in (*found.problems, *found.warnings)]


def test_sayings_are_read_and_said(tmp_path: Path) -> None:
    found = checked(tmp_path, "{quinoa: keen wah, Grains: grainz}")
    assert found.plan is not None
    assert told(found) == []
    assert found.plan.say == (("quinoa", "keen wah"), ("Grains", "grainz"))
    assert pronounced("Quinoa on.", found.plan) == "keen wah on."
    assert [dish.name for dish in found.plan.dishes] == ["quinoa"]


def test_a_word_in_any_name_is_no_doubt(tmp_path: Path) -> None:
    assert told(checked(tmp_path, "{harbour: harbor, rinse: rins, hob: hobb}")) == []


MISTAKES = {
    "a word alone": ("keen wah", "16:6: say: say is a block of words (write say: {quinoa: keen wah})"),
    "nothing": ("{}", "16:6: say: say is a block of words (write say: {quinoa: keen wah})"),
    "an empty saying": ("{quinoa: }", "16:14: say.quinoa: there is nothing here"),
    "a list": ("{quinoa: [a, b]}", "16:15: say.quinoa: one text is wanted here, not a list or a block"),
    "signs": ("{quinoa: 'k[iː]n'}", "16:15: say.quinoa: k[iː]n cannot be read aloud (write it in letters"),
    "digits": ("{quinoa: 50}", "16:15: say.quinoa: 50 cannot be read aloud (write it in letters"),
    "too long": ("{quinoa: " + "keen " * 20 + "}", "16:15: say.quinoa: longer than 80 characters"),
    "a word of signs": ("{'!!': keen}", "16:7: say.!!: !! is no word of a plan (name it as the plan does)"),
    "the same word twice": ("{quinoa: keen, quinoa: wah}", "16:21: say.quinoa: quinoa is given twice"),
    "one word in two shapes": (
        "{quinoa: keen, Quinoa: wah}",
        "16:21: say.Quinoa: Quinoa sounds as quinoa is written (keep one of them)",
    ),
    "too many": (
        "{" + ", ".join(f"w{'x' * n}: w" for n in range(61)) + "}",
        "16:6: say: more than 60 words (keep those the voice says badly)",
    ),
}


@pytest.mark.parametrize(("say", "line"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_has_its_place_and_its_hint(tmp_path: Path, say: str, line: str) -> None:
    found = checked(tmp_path, say)
    assert found.plan is None
    assert told(found)[0].startswith(line)


def test_a_word_that_is_never_said_is_a_doubt(tmp_path: Path) -> None:
    found = checked(tmp_path, "{quinua: keen wah}")
    assert found.plan is not None
    (line,) = told(found)
    assert line.startswith(
        "16:7: say.quinua: quinua is in no name of this plan, so it is never said (name it"
    )


def test_two_plans_in_one_kitchen_say_the_words_of_both(tmp_path: Path) -> None:
    one = checked(tmp_path, "{quinoa: keen wah}").plan
    other = checked(
        tmp_path,
        "{nduja: en doo ya, Quinoa: kwin oh a}",
        PLAN.replace("quinoa", "nduja").replace("grains", "paste"),
    ).plan
    assert one is not None
    assert other is not None
    merged = merge_plans([Part(file="a", plan=one, before_s=0), Part(file="b", plan=other, before_s=0)], None)
    assert merged.plan.say == (("quinoa", "keen wah"), ("nduja", "en doo ya"))
