"""Which commands the second ear scores, and in what order."""

from kitchend.hearing.shortlist import (
    CROSSED,
    FIRST_ROUND,
    crossed,
    doubles,
    first_round,
    numbered,
    renumbered,
)
from tests.hearing.menu import dinner

DINNER = dinner()


def test_what_the_free_text_says_goes_first_if_the_grammar_holds_it() -> None:
    assert first_round(DINNER, " 17 more minutes on the rice.", ())[0] == "seventeen more minutes on the rice"


def test_what_the_first_ear_proposes_is_scored_although_it_is_not_likely() -> None:
    proposed = "take eleven minutes off the chicken"
    assert proposed not in DINNER.candidates()
    assert proposed in first_round(DINNER, " Take the lemon for the kitchen.", (proposed,))


def test_a_proposal_outside_the_grammar_is_left_out() -> None:
    assert "greens are" not in first_round(DINNER, " Greens.", ("greens are",))


def test_commands_spelled_like_the_free_text_follow() -> None:
    assert "carve the chicken" in first_round(DINNER, " Carved a kitchen.", ())[:3]


def test_numbers_that_were_heard_are_put_into_likely_commands() -> None:
    assert "eighteen more minutes on the greens" in first_round(DINNER, " 18 minutes more on the green.", ())


def test_each_command_is_listed_once_and_no_more_than_can_be_scored() -> None:
    first = first_round(DINNER, " More minutes.", ("yes",))
    assert len(first) == FIRST_ROUND == len(set(first))


def test_a_number_is_doubled_by_its_partner_where_the_grammar_holds_it() -> None:
    assert doubles(DINNER, "fifteen more minutes on the rice", ()) == ("fifty more minutes on the rice",)
    assert doubles(DINNER, "fifteen more minutes on the rice", ("fifty more minutes on the rice",)) == ()
    assert doubles(DINNER, "greens are on", ()) == ()


def test_a_command_is_tried_with_the_numbers_that_were_heard() -> None:
    best, heard = "take two minutes off the rice", ("tick nine minutes of the eyes",)
    assert numbered(DINNER, best, heard, ()) == ("take nine minutes off the rice",)
    assert numbered(DINNER, best, heard, ("take nine minutes off the rice",)) == ()
    assert numbered(DINNER, best, ("take two minutes off the eyes", "take the rice off"), (best,)) == ()


def test_a_number_is_tried_against_every_other_of_its_kind_that_the_grammar_holds() -> None:
    found = renumbered(DINNER, "take two minutes off the rice", ("take nine minutes off the rice",))
    assert "take three minutes off the rice" in found
    assert "take two minutes off the rice" not in found
    assert "take nine minutes off the rice" not in found
    assert all(map(DINNER.accepts, found))
    assert renumbered(DINNER, "greens are on", ()) == ()


def test_one_ear_may_have_the_name_and_the_other_the_rest() -> None:
    found = crossed(DINNER, "hold the rice", ("greens are in",), (), DINNER.accepts)
    assert found == ("hold the greens",)
    assert crossed(DINNER, "hold the rice", ("greens are in",), ("hold the greens",), DINNER.accepts) == ()


def test_words_that_both_ears_have_stay() -> None:
    assert crossed(DINNER, "hold the rice", ("drop the greens",), (), DINNER.accepts) == (
        "drop the rice",
        "hold the greens",
    )


def test_crossing_gives_no_more_than_can_be_scored_and_only_what_the_grammar_holds() -> None:
    everything = tuple(
        f"{verb} the {name}" for verb in ("hold", "drop") for name in ("rice", "greens", "chicken")
    )
    found = crossed(
        DINNER,
        "take two minutes off the rice",
        (*everything, "nine more minutes on the greens"),
        (),
        DINNER.accepts,
    )
    assert 0 < len(found) <= CROSSED
    assert all(map(DINNER.accepts, found))
    assert crossed(DINNER, "hold the rice", ("greens are in",), (), lambda _: False) == ()
