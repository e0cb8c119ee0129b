"""How far apart sounds are: near what published studies of confusions found near."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.hearing.phones import change, distance, is_alike, loss

PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
).split()
"""The 39 phones of the CMU Pronouncing Dictionary."""
ROWS = st.lists(st.sampled_from(PHONES), max_size=8)


@pytest.mark.parametrize(
    ("near", "far"),
    [
        (("P", "K"), ("P", "B")),
        (("T", "K"), ("T", "D")),
        (("M", "N"), ("M", "B")),
        (("B", "D"), ("B", "M")),
        (("F", "TH"), ("F", "V")),
        (("S", "SH"), ("S", "Z")),
    ],
    ids="/".join,
)
def test_place_is_lost_before_voicing_and_nasality(near: tuple[str, str], far: tuple[str, str]) -> None:
    """Miller and Nicely 1955: in noise voicing and nasality survive, place does not."""
    assert change(*near) < change(*far)


@pytest.mark.parametrize("pair", ["IH EH", "EH AE", "AA AO", "AH AA", "UH UW"])
def test_neighbouring_vowels_are_near(pair: str) -> None:
    """Peterson and Barney 1952: it is these that listeners take for each other."""
    one, other = pair.split()
    assert change(one, other) < change("IY", "AA")


@given(one=ROWS, other=ROWS, third=ROWS)
def test_distance_is_a_distance(one: list[str], other: list[str], third: list[str]) -> None:
    assert distance(one, one) == 0
    assert distance(one, other) == pytest.approx(distance(other, one))
    assert distance(one, []) == pytest.approx(sum(map(loss, one)))
    assert distance(one, third) <= distance(one, other) + distance(other, third) + 1e-9


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("L IY K S", "L IY K S", True),
        ("P AO R K", "K AO R K", True),
        ("R EH S T S AE M AH N", "B EY S T S AE M AH N", True),
        ("B R EH D", "B R EH D Z", True),
        ("B IY T S", "B IY N Z", False),
        ("S T IY M DH AH L IY K S", "R EH S T DH AH CH IH K AH N", False),
        ("AA", "AA", False),
        ("T IY", "P AY", False),
    ],
)
def test_names_that_are_easily_taken_for_each_other(one: str, other: str, alike: bool) -> None:
    assert is_alike(one.split(), other.split()) is alike
    assert is_alike(other.split(), one.split()) is alike
