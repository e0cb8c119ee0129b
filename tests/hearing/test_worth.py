"""The weights of the rule: they come of the evidence, and do what they are for."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.hearing.ports import Judgement, Scored
from kitchend.hearing.worth import (
    COUNTING,
    RANKING,
    Weights,
    counting,
    ranked,
    ranking,
    read,
    shipped,
    shipped_alone,
)
from tests.bench.hear import held_out
from tests.bench.hear.fit import ALONE, BOTH, PLAIN, Kind, cases, fitted, is_meant, written

FREE = Scored(text="Five more minutes on the rice.", score=-0.2)


ALL = pytest.mark.parametrize(
    ("kind", "weights"),
    [
        pytest.param(BOTH, shipped(), id="adapted"),
        pytest.param(PLAIN, shipped(is_adapted=False), id="as it came"),
        pytest.param(ALONE, shipped_alone(), id="the first ear alone"),
    ],
)


@ALL
def test_the_shipped_weights_are_those_the_script_fits_to_its_evidence(kind: Kind, weights: Weights) -> None:
    again = fitted(cases(kind), kind)
    assert again.ranking == pytest.approx(weights.ranking, abs=0.02)
    assert again.counting == pytest.approx(weights.counting, abs=0.02)
    assert (again.least, again.half, again.poor) == (weights.least, weights.half, weights.poor)
    assert again.near == weights.near


@ALL
def test_ranking_by_the_weights_finds_more_than_the_score_alone(kind: Kind, weights: Weights) -> None:
    listed = [case for case in cases(kind) if case.right]
    by_score = sum(max(case.readings, key=lambda one: one.score) in case.right for case in listed)
    assert sum(is_meant(case, weights) for case in listed) > by_score


def test_another_language_is_judged_by_the_weights_of_the_ear_as_it_came() -> None:
    assert shipped("ko").ranking == shipped(is_adapted=False).ranking != shipped().ranking


def test_weights_are_read_as_they_were_written(tmp_path: Path) -> None:
    file = tmp_path / "worth.json"
    file.write_text(written(shipped()), encoding="utf-8")
    assert read(file) == shipped()


def test_every_number_has_a_weight() -> None:
    reading = Scored(text="five more minutes on the rice", score=-0.5, tokens=7, blind=-3.0)
    order = ranked([reading], None, shipped())
    assert len(ranking(reading, None)) == len(RANKING) == len(shipped().ranking)
    numbers = counting(order, Judgement(ranked=(reading,), free=FREE), None, 2.0)
    assert len(numbers) == len(COUNTING) == len(shipped().counting)


def test_of_two_that_fit_alike_the_one_that_is_dearer_to_say_is_meant() -> None:
    cheap = Scored(text="that's right", score=-2.0, tokens=4, blind=-2.0)
    dear = Scored(text="kale steamed", score=-2.0, tokens=4, blind=-6.0)
    assert ranked([cheap, dear], None, shipped())[0].reading is dear


def test_the_lead_is_over_the_next_reading_that_means_something_else() -> None:
    def lead(meaning: int) -> float:
        readings = [
            Scored(text="simmer the kale", score=-1.0, tokens=5, blind=-5.0, meaning=0),
            Scored(text="simmering the kale", score=-1.1, tokens=6, blind=-5.0, meaning=meaning),
            Scored(text="stir the rice", score=-4.0, tokens=5, blind=-5.0, meaning=2),
        ]
        order = ranked(readings, None, shipped())
        numbers = counting(order, Judgement(ranked=tuple(readings), free=FREE), None, 1.5)
        return dict(zip(COUNTING, numbers, strict=True))["lead"]

    assert lead(meaning=0) > lead(meaning=1)


def test_phrases_the_weights_were_not_fitted_to_are_decided_well() -> None:
    """Each once, by weights fitted to the others: nearly all right without noise, no talk let in."""
    listed = held_out.lines()
    decided = list(held_out.decisions(listed))
    assert len(decided) == len(listed)
    clean = [one for one in decided if one[0].said is not None and one[0].ratio_db is None]
    talk = [one for one in decided if one[0].said is None]
    assert len(clean) >= 90
    assert len(talk) >= 100
    assert sum(held_out.outcome_of(*one) == "right" for one in clean) >= 0.96 * len(clean)
    let_in = [decision for line, decision in talk if held_out.outcome_of(line, decision) == "wrong"]
    assert let_in == []
    assert sum(held_out.outcome_of(*one) == "wrong" for one in decided) <= 0.01 * len(decided)
