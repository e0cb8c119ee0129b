"""Which commands the second ear scores, and in what order."""

from kitchend.hearing.shortlist import FIRST_ROUND, doubles, first_round
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
