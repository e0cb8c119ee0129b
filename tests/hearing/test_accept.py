"""The rule that says whether what the ears heard counts."""

from dataclasses import dataclass, replace

import pytest

from kitchend.hearing.accept import Decision, Evidence, decide
from kitchend.hearing.ports import Judgement, Scored
from kitchend.hearing.worth import COUNTING, RANKING, Weights
from tests.hearing.menu import JsgfSayable, dinner

DINNER = dinner()
WEIGHTS = Weights(
    ranking=tuple({"score": 2.0, "proposed": 1.0}.get(name, 0.0) for name in RANKING),
    counting=tuple({"one": 2.5, "margin": 1.0, "proposed": 1.0}.get(name, 0.0) for name in COUNTING),
    least=0.75,
    half=0.5,
)
"""Simple ones, so that what is tested is the rule and not how it was fitted."""


def judged(free: tuple[str, float], *ranked: tuple[str, float]) -> Judgement:
    return Judgement(
        ranked=tuple(Scored(text=text, score=score) for text, score in ranked),
        free=Scored(text=free[0], score=free[1]),
    )


def verdict(proposed: str | None, judgement: Judgement | None, speech_s: float = 1.5) -> Decision:
    return decide(
        Evidence(speech_s=speech_s, proposed=proposed, judgement=judgement), DINNER, weights=WEIGHTS
    )


NOT_ADDRESSED = Judgement(ranked=(), free=Scored(text="No, he can't.", score=-0.3), address=-9.1)

REFUSED = [
    pytest.param("no", NOT_ADDRESSED, 1.5, "not addressed", id="it does not begin with the address phrase"),
    pytest.param("no", judged(("No.", -0.2), ("no", -0.2)), 0.1, "too short", id="a knock"),
    pytest.param("no", judged(("No.", -0.2), ("no", -0.2)), 11.0, "too long for a command", id="a speech"),
    pytest.param("", None, 1.5, "no command in it", id="the first ear hears nothing"),
    pytest.param("greens are", None, 1.5, "not a whole command", id="half a command"),
    pytest.param("no", None, 4.0, "does not fit the time it took", id="a short command in long speech"),
    pytest.param(
        "cook the courtyard supper for half past seven",
        None,
        0.5,
        "does not fit the time it took",
        id="a long command in short speech",
    ),
    pytest.param(None, judged(("Hello.", -0.2)), 1.5, "no command in it", id="nothing was scored"),
    pytest.param(
        None,
        judged(("Hello there.", -0.4), ("undo that", -5.0)),
        1.5,
        "explained better as free talk",
        id="free talk fits much better",
    ),
    pytest.param(
        "undo that",
        judged(("Under that old hat.", -0.2), ("undo that", -1.8)),
        1.5,
        "plainly something else",
        id="plain talk that the first ear takes for a command",
    ),
    pytest.param(
        "quiet",
        judged(("Quiet please the baby is asleep.", -0.3), ("quiet", -1.2)),
        1.5,
        "part of longer talk",
        id="a command that begins a longer sentence, though the ears agree",
    ),
    pytest.param(
        None, judged(("No.", -0.2), ("greens are", -0.1)), 1.5, "no command in it", id="outside the grammar"
    ),
]


@pytest.mark.parametrize(("proposed", "judgement", "speech_s", "reason"), REFUSED)
def test_what_is_unclear_is_refused_with_its_reason(
    proposed: str | None, judgement: Judgement | None, speech_s: float, reason: str
) -> None:
    decision = verdict(proposed, judgement, speech_s)
    assert (decision.accepted, decision.reason, decision.doubts) == (False, reason, ())


def test_the_command_that_fits_the_sound_best_is_taken() -> None:
    decision = verdict(None, judged(("Screens are on.", -0.5), ("greens are on", -1.0), ("no", -6.0)))
    assert decision == Decision(
        text="greens are on", accepted=True, reason="fits the sound best", doubts=(), margin=-0.5
    )


def test_free_text_that_says_the_command_in_digits_takes_away_all_doubt_about_the_margin() -> None:
    decision = verdict(None, judged(("The chicken is at 62.", -0.1), ("the chicken is at sixty two", -3.0)))
    assert (decision.accepted, decision.margin) == (True, 0.0)


def test_what_is_half_understood_is_taken_with_others_in_doubt_and_worse_is_refused() -> None:
    def at(score: float) -> Decision:
        readings = {"heard": score, "hold the rice": score - 3.0}
        return verdict(None, judged(("Third.", -0.3), *readings.items()))

    assert at(-1.0).reason == "fits the sound best"
    assert at(-1.0).doubts == ()
    assert (at(-2.0).reason, at(-2.0).doubts) == ("half understood", ("hold the rice",))
    assert not at(-4.0).accepted


def test_what_is_half_understood_and_has_nothing_beside_it_is_refused() -> None:
    assert not verdict(None, judged(("Third.", -0.3), ("heard", -2.0))).accepted


def test_what_is_half_understood_outside_the_answer_window_is_met_with_silence() -> None:
    @dataclass(frozen=True)
    class Later(JsgfSayable):
        address: str = "hey kitchen"
        needs_address: bool = False

    half = judged(("Third.", -0.3), ("heard", -2.0), ("hold the rice", -5.0))
    evidence = Evidence(speech_s=1.5, proposed=None, judgement=half)
    in_window = Later(text=DINNER.text, likely=DINNER.likely)
    outside = replace(in_window, needs_address=True)
    assert decide(evidence, in_window, weights=WEIGHTS).accepted
    assert decide(evidence, outside, weights=WEIGHTS) == Decision(
        text="heard", accepted=False, reason="half understood outside the answer window", margin=-1.7
    )


def test_agreement_of_the_ears_makes_up_for_a_poor_margin() -> None:
    poor = judged(("Third.", -0.3), ("heard", -2.2), ("hold the rice", -6.0))
    assert verdict("heard", poor).reason == "ears agree"
    assert verdict("undo that", poor).reason == "half understood"


@pytest.mark.parametrize(
    ("free", "proposed", "reason"),
    [
        (-0.3, None, "half understood"),
        (-1.1, None, "fits the sound best"),
        (-0.3, "heard", "ears agree"),
    ],
    ids=["clear free text", "unclear free text", "the ears agree"],
)
def test_a_command_far_below_a_clear_free_text_is_half_understood(
    free: float, proposed: str | None, reason: str
) -> None:
    sure = replace(WEIGHTS, counting=tuple(5.0 * (name == "one") for name in COUNTING))
    far = judged(("Under score.", free), ("heard", free - 2.1), ("hold the rice", free - 6.0))
    decision = decide(Evidence(speech_s=1.5, proposed=proposed, judgement=far), DINNER, weights=sure)
    assert (decision.accepted, decision.reason) == (True, reason)
    assert bool(decision.doubts) == (reason == "half understood")


@pytest.mark.parametrize(
    ("free", "reason"),
    [
        ("A cookie, hold the lies.", "half understood"),
        ("Holds the lies.", "fits the sound best"),
    ],
    ids=["with words it has not", "as long"],
)
def test_a_command_that_lacks_words_of_a_clear_free_text_is_half_understood_sooner(
    free: str, reason: str
) -> None:
    """ "give the beetroot another twelve minutes" is not to be done as "another twelve minutes"."""
    sure = replace(WEIGHTS, counting=tuple(5.0 * (name == "one") for name in COUNTING))
    near = judged((free, -0.7), ("hold the rice", -1.4), ("heard", -6.0))
    decision = decide(Evidence(speech_s=1.5, proposed=None, judgement=near), DINNER, weights=sure)
    assert (decision.accepted, decision.reason) == (True, reason)


@pytest.mark.parametrize(
    ("score", "proposed", "reason"),
    [(-2.7, None, "half understood"), (-2.5, None, "fits the sound best"), (-2.7, "undo that", "ears agree")],
    ids=["poor", "less so", "the ears agree"],
)
def test_a_command_that_fits_poorly_is_half_understood(
    score: float, proposed: str | None, reason: str
) -> None:
    """A dropped step for "Deleted.", in which free text is no clearer."""
    sure = replace(WEIGHTS, counting=tuple(5.0 * (name == "one") for name in COUNTING), poor=-2.6)
    near = judged(("Delted.", -1.6), ("undo that", score), ("hold the rice", -6.0))
    decision = decide(Evidence(speech_s=1.0, proposed=proposed, judgement=near), DINNER, weights=sure)
    assert (decision.accepted, decision.reason) == (True, reason)


def test_the_first_ear_decides_between_readings_that_fit_alike() -> None:
    close = judged(("Pasted chicken.", -1.0), ("rest the chicken", -1.5), ("baste the chicken", -1.6))
    assert verdict("baste the chicken", close).text == "baste the chicken"
    assert verdict("rest the chicken", close).text == "rest the chicken"


@pytest.mark.parametrize(
    ("free", "doubts"),
    [
        (("Baste the chicken.", -0.2), ("baste the chicken",)),
        (("Baste the chicken.", -1.1), ()),
        (("Rest the chicken.", -0.2), ()),
    ],
    ids=["clearly", "unclearly", "the command itself"],
)
def test_another_command_that_was_heard_to_the_letter_is_a_doubt(
    free: tuple[str, float], doubts: tuple[str, ...]
) -> None:
    far = judged(free, ("rest the chicken", -0.2), ("baste the chicken", -1.0))
    decision = verdict("rest the chicken", far)
    assert (decision.text, decision.accepted, decision.doubts) == ("rest the chicken", True, doubts)


@pytest.mark.parametrize(
    ("text", "reason"),
    [("heard", "half understood"), ("rest the chicken", "fits the sound best")],
    ids=["a word by itself", "several words"],
)
def test_a_word_by_itself_must_come_nearer_to_what_was_clearly_heard(text: str, reason: str) -> None:
    sure = replace(WEIGHTS, counting=tuple(9.0 * (name == "one") for name in COUNTING))
    near = Evidence(
        speech_s=1.0, proposed=None, judgement=judged(("Herd it.", -0.4), (text, -1.9), ("no", -5.0))
    )
    assert decide(near, DINNER, weights=sure).reason == reason


def test_a_reading_nearly_as_good_is_a_doubt_and_a_poorer_one_is_not() -> None:
    close = judged(
        ("Something.", -1.0),
        ("fifteen more minutes on the rice", -1.0),
        ("four more minutes on the rice", -1.3),
        ("five more minutes on the rice", -1.7),
    )
    assert verdict(None, close).doubts == ("four more minutes on the rice",)
    assert verdict("fifteen more minutes on the rice", close).doubts == ()


def test_a_reading_that_differs_in_a_number_alone_is_a_doubt_sooner_than_others() -> None:
    close = judged(
        ("Something.", -1.0),
        ("five more minutes on the rice", -1.0),
        ("ten more minutes on the rice", -1.4),
        ("five more minutes on the greens", -1.4),
    )
    assert verdict(None, close).doubts == ("ten more minutes on the rice",)


def test_a_number_that_sounds_alike_is_a_doubt_sooner_than_others() -> None:
    close = judged(
        ("15 more minutes on the rice.", -1.0),
        ("fifteen more minutes on the rice", -1.0),
        ("four more minutes on the rice", -1.7),
        ("fifty more minutes on the rice", -1.7),
    )
    assert verdict(None, close).doubts == ("fifty more minutes on the rice",)


def test_a_command_that_nearly_sounds_alike_is_a_doubt_sooner_than_others() -> None:
    close = judged(
        ("Something.", -1.0),
        ("rest the chicken", -1.0),
        ("carve the chicken", -1.7),
        ("baste the chicken", -1.7),
    )
    assert verdict(None, close).doubts == ("baste the chicken",)


def test_articles_make_no_doubt_and_no_disagreement() -> None:
    same = judged(("The rice is done.", -0.2), ("rice is done", -0.5), ("the rice is done", -0.5))
    decision = verdict("the rice is done", same)
    assert decision.doubts == ()
    assert decision.reason == "ears agree"


def test_the_first_ear_alone_doubts_every_number_that_is_easily_mistaken() -> None:
    decision = verdict("fifteen more minutes on the rice", None)
    assert decision.accepted
    assert decision.doubts == ("fifty more minutes on the rice",)
    assert decision.margin is None
    assert verdict("two more minutes on the rice", None).doubts == ()


@dataclass(frozen=True)
class Telling(JsgfSayable):
    """A dinner that tells that all its talk of greens being done is one command."""

    def meaning(self, text: str) -> object:
        """The dish and nothing else, for greens; else the words."""
        return "greens done" if text in ("greens are done", "greens are ready") else text


def test_two_ways_to_say_one_thing_are_no_doubt() -> None:
    heard = judged(
        ("Something.", -1.0), ("greens are done", -1.0), ("greens are ready", -1.1), ("rice is done", -1.2)
    )
    evidence = Evidence(speech_s=1.5, proposed=None, judgement=heard)
    telling = Telling(text=DINNER.text, likely=DINNER.likely)
    assert decide(evidence, DINNER, weights=WEIGHTS).doubts == ("greens are ready", "rice is done")
    assert decide(evidence, telling, weights=WEIGHTS).doubts == ("rice is done",)


def test_what_is_half_understood_is_asked_back_though_its_rivals_mean_the_same() -> None:
    half = judged(("Third.", -0.3), ("greens are done", -2.0), ("greens are ready", -2.1))
    evidence = Evidence(speech_s=1.5, proposed=None, judgement=half)
    telling = Telling(text=DINNER.text, likely=DINNER.likely)
    for sayable in (DINNER, telling):
        decision = decide(evidence, sayable, weights=WEIGHTS)
        assert (decision.text, decision.doubts) == ("greens are done", ("greens are ready",))
        assert (decision.accepted, decision.reason) == (True, "half understood")
