"""Whole dinners with typed words: nothing lost, nothing done unsaid, the same seed the same conversation."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from kitchend.core.state import DinnerState
from kitchend.errors import KitchendError, PlanError
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import RehearsalError, rehearse, wishes
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import Arrived, TypedEars
from kitchend.rehearsal.production import Production
from kitchend.reports.rehearsal import Rehearsal
from tests.rehearsal.kitchen import PLANS, named, supper


def typed(path: Path, cook: str, seed: int = 1) -> tuple[Rehearsal, list[str]]:
    lines: list[str] = []
    return rehearse(path, cook=cook, seed=seed, ears="typed", on_line=lines.append), lines


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_a_steady_cook_serves_every_demo_plan_on_time(path: Path) -> None:
    score, lines = typed(path, "steady")

    assert score.steps_done == score.steps
    assert score.lost_timers == ()
    assert score.unsaid == ()
    assert [phrase.said for phrase in score.phrases if not phrase.right] == []
    assert score.late_by_s is not None
    assert abs(score.late_by_s) <= 120
    assert not [line for line in lines if "bug" in line]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 21))
def test_a_human_cook_gets_dinner_done(seed: int, tmp_path: Path) -> None:
    path = (*PLANS, supper(tmp_path))[seed % 4]

    score, lines = typed(path, "human", seed)

    assert (score.steps_done, score.steps) == (score.steps, score.steps)
    assert score.served is not None
    assert (score.lost_timers, score.unsaid) == ((), ())
    assert [phrase.said for phrase in score.phrases if not phrase.right] == []
    assert not [line for line in lines if "bug" in line]


def test_one_seed_is_one_conversation(tmp_path: Path) -> None:
    path = supper(tmp_path)
    first, lines = typed(path, "human", 5)

    again, lines_again = typed(path, "human", 5)
    _, others = typed(path, "human", 6)

    assert lines == lines_again
    assert replace(first, took_s=0.0) == replace(again, took_s=0.0)
    assert lines != others


def test_the_hour_can_be_chosen(tmp_path: Path) -> None:
    score = rehearse(supper(tmp_path), ears="typed", serve="20:15")

    assert str(score.serve.time_of_day) == "20:15"
    assert score.is_good


def test_a_plan_without_an_hour_is_served_as_early_as_it_can_be(tmp_path: Path) -> None:
    path = supper(tmp_path)
    path.write_text(path.read_text().replace('serve: "19:00"\n', ""))

    score = rehearse(path, ears="typed")

    assert score.is_good
    assert score.lasted_s < 3 * 3600


def test_the_json_has_what_other_programs_rely_on(tmp_path: Path) -> None:
    score, _ = typed(supper(tmp_path), "steady")

    shape = json.loads(json.dumps(score.to_json()))

    promised = "plan serve served late_by_s steps_done steps calls phrases lost_timers took_s".split()
    assert [key for key in promised if key not in shape] == []
    assert {key for phrase in shape["phrases"] for key in phrase} == {"said", "text", "intent", "right"}
    assert (shape["plan"], shape["steps"], shape["steps_done"]) == ("Tuesday supper", 6, 6)
    assert shape["serve"] == "2026-01-02T19:00:00+00:00"


def test_the_conversation_reads_like_one(tmp_path: Path) -> None:
    _, lines = typed(supper(tmp_path), "steady")

    assert all(line[2] == line[5] == ":" and line[8:10] == "  " for line in lines)
    assert {line[10:18].strip() for line in lines} == {"cook", "kitchend"}
    assert [line[:8] for line in lines] == sorted(line[:8] for line in lines)


REFUSED = {
    "cook": ({"cook": "drunk"}, "no cook is called 'drunk'; choose steady or human"),
    "ears": ({"ears": "third"}, "there are no ears called 'third'; choose auto, both, first, second, typed"),
    "serve": ({"serve": "noonish"}, "--serve 'noonish'"),
    "wav folder": (
        {"ears": "first", "wav": Path("/nowhere/x.wav")},
        "--wav /nowhere/x.wav: cannot be written",
    ),
    "wav": ({"ears": "typed", "wav": Path("x.wav")}, "typed words make no sound"),
}


@pytest.mark.parametrize(("asked", "why"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_rehearsed_is_refused_in_one_line(
    tmp_path: Path, asked: dict[str, str], why: str
) -> None:
    with pytest.raises(RehearsalError) as refused:
        rehearse(supper(tmp_path), **({"ears": "typed"} | asked))  # type: ignore[arg-type]  # str or Path by key

    assert isinstance(refused.value, KitchendError)
    assert str(refused.value).startswith(why)
    assert "\n" not in str(refused.value)


def test_a_plan_with_problems_is_a_plan_error(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match=r"nothing\.yaml"):
        rehearse(tmp_path / "nothing.yaml", ears="typed")


@dataclass
class PoorEars(TypedEars):
    """Ears that miss the first phrases, or once take one of the phrases in `confused` for `instead`."""

    misses: int = 0
    confused: frozenset[str] = frozenset()
    instead: str = ""
    said: list[str] = field(default_factory=list)

    def hear(self, words: str) -> Arrived:
        """As these ears have it."""
        self.said.append(words)
        arrived = super().hear(words)
        if len(self.said) <= self.misses:
            return replace(arrived, text="")
        if words.removeprefix("hey kitchen ") in self.confused:
            self.confused = frozenset()
            return replace(arrived, text=f"hey kitchen {self.instead}")
        return arrived


def with_ears(ears: PoorEars, path: Path) -> Rehearsal:
    production = Production(read_plan(path), CHARACTERS["steady"], 1, ears=ears, on_line=lambda line: None)
    return production.play(read_plan(path).serve, "poor")


def test_a_cook_who_is_not_heard_says_it_again_in_other_words(tmp_path: Path) -> None:
    ears = PoorEars(misses=2)

    score = with_ears(ears, supper(tmp_path))

    assert len(set(ears.said[:3])) == 3
    assert [phrase.right for phrase in score.phrases[:3]] == [False, False, True]
    assert score.is_good


def test_a_cook_who_is_never_heard_gives_up_and_the_dinner_ends(tmp_path: Path) -> None:
    score = with_ears(PoorEars(misses=10_000), supper(tmp_path))

    assert score.served is None
    assert score.steps_done == 0
    assert "never served" in score.summary()


def test_a_wrong_move_is_noticed_taken_back_and_put_right(tmp_path: Path) -> None:
    path = supper(tmp_path)
    plan = read_plan(path)
    steaming = frozenset(wishes.put_on(DinnerState(plan=plan), named(path, "steam the greens")).ways)
    ears = PoorEars(confused=steaming, instead="carve the chicken done")

    score = with_ears(ears, path)

    assert [move.split(": ")[1] for move in score.unsaid] == ["waiting to done"]
    assert any(phrase.intent == "undo" for phrase in score.phrases)
    assert score.steps_done == score.steps
    assert not score.is_good
