"""What the second ear has found so far: the near commands, and whether anything is left open."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from kitchend.hearing.findings import AT_ONCE, BLIND, PADDED, Findings, in_turns
from kitchend.hearing.ports import Network, Scored
from kitchend.hearing.search import Searchable
from tests.hearing.menu import JsgfSayable
from tests.hearing.test_search import DINNER

GRAMMAR = Searchable(DINNER)


def test_commands_near_any_of_the_heard_texts_are_found_nearest_first() -> None:
    found = Findings(GRAMMAR, heard=("holder rice", "nein more")).near(("holder rice", "nein more"))
    assert set(found[:2]) == {"hold the rice", "nine more"}
    assert len(found) == len(set(found)) <= AT_ONCE


class Polite(JsgfSayable):
    """Holds its texts with "please" behind them too, which is no part of the grammar that is searched."""

    def accepts(self, text: str) -> bool:
        return text.removesuffix(" please") != "hold the beans"

    def unpadded(self, text: str) -> tuple[str, Callable[[str], str]] | None:
        bare = text.removesuffix(" please")
        return None if bare == text else (bare, "{} please".format)

    def padded_network(self) -> Network:
        raise AssertionError("what is found by spelling is found without these words")


def test_what_is_near_but_for_words_around_it_is_found_with_these_words() -> None:
    polite, heard = Polite(text="", likely=()), ("hold the rice please",)
    findings = Findings(GRAMMAR, heard=heard)
    found = findings.near(heard, polite)
    assert {"hold the rice", "hold the rice please"} <= set(found[:3])
    assert "hold the beans please" not in found
    assert findings.near(("hold the rice",), polite) == Findings(GRAMMAR, heard=()).near(("hold the rice",))
    likelier, seldom = (one.log_share for text in found[:2] for one in readings(findings, text))
    assert likelier == pytest.approx(seldom - PADDED)


class Open(JsgfSayable):
    """Takes anything that is timed."""

    def takes_openly(self, text: str) -> bool:
        return text.startswith("time the")


@pytest.mark.parametrize(
    ("best", "free", "taken"),
    [
        pytest.param(-0.6, -0.1, True, id="clear, and the nearest command far below it"),
        pytest.param(-0.4, -0.1, False, id="the nearest command as near as one that was meant"),
        pytest.param(-1.6, -0.6, False, id="not clear"),
    ],
)
def test_a_free_text_is_taken_at_its_word_where_no_command_comes_near(
    best: float, free: float, taken: bool
) -> None:
    findings, said = Findings(GRAMMAR, heard=()), ("time the dog", "hold the dog")
    findings.scored["hold the rice"] = (best, 10)
    assert findings.open_ways(free, said, Open(text="", likely=())) == (said[:1] if taken else ())
    assert findings.open_ways(free, said, JsgfSayable(text="", likely=())) == ()


def readings(findings: Findings, text: str) -> tuple[Scored, ...]:
    findings.scored = {text: (-1.0, 4)}
    return findings.readings({})


@pytest.mark.parametrize(
    ("scored", "free", "is_talk"),
    [
        pytest.param({"nine": -4.4, "hold beans": -3.5}, -0.3, True, id="clear, and no command near it"),
        pytest.param({"nine": -4.4, "hold beans": -3.1}, -0.3, False, id="a command comes near it"),
        pytest.param({"nine": -5.0}, -0.9, False, id="not clear"),
        pytest.param({}, -0.3, False, id="nothing was scored, more is to be searched"),
    ],
)
def test_clear_talk_is_not_searched_any_further(scored: dict[str, float], free: float, is_talk: bool) -> None:
    findings = Findings(GRAMMAR, heard=("hold the rice",))
    findings.scored.update({text: (score, 4) for text, score in scored.items()})
    assert findings.is_talk(free) is is_talk


def test_nothing_comes_near_without_a_grammar_to_search() -> None:
    assert Findings(None, heard=("hold the rice",)).near(("hold the rice",)) == ()


@pytest.mark.parametrize(
    ("scored", "proposed", "settles"),
    [
        pytest.param({"hold the rice": -0.3, "nine": -3.0}, "", True, id="one far ahead"),
        pytest.param({"hold the rice": -0.3, "hold rice": -0.4}, "", True, id="the same but for an article"),
        pytest.param({"hold the rice": -0.3, "nine": -0.6}, "", False, id="another is close"),
        pytest.param({"hold the rice": -2.0, "nine": -6.0}, "", False, id="free text explains it better"),
        pytest.param({}, "nine", False, id="nothing was scored"),
        pytest.param({"hold the rice": -1.2, "nine": -1.9}, "", False, id="neither far ahead nor a good fit"),
        pytest.param({"hold the rice": -1.2, "nine": -1.9}, "hold rice", True, id="but both ears say it"),
        pytest.param({"hold the rice": -1.2, "nine": -1.9}, "nine", False, id="the first ear says another"),
        pytest.param(
            {"hold the rice": -3.0, "nine": -6.0}, "hold rice", False, id="both, but free text wins"
        ),
    ],
)
def test_only_what_is_far_ahead_and_fits_the_sound_is_settled(
    scored: dict[str, float], proposed: str, settles: bool
) -> None:
    findings = Findings(GRAMMAR, heard=("hold the rice",))
    findings.scored.update({text: (score, 4) for text, score in scored.items()})
    assert findings.is_settled(-0.2, (proposed,)) is settles


def test_only_the_best_few_are_compared_with_how_cheap_they_are() -> None:
    findings = Findings(None, heard=("one",))
    findings.scored.update({f"text {n}": (-float(n), 2) for n in range(BLIND + 3)})
    readings = findings.readings(dict.fromkeys(findings.few(), -4.0))
    assert [reading.blind for reading in readings] == [-4.0] * BLIND + [None] * 3


def test_rows_are_taken_in_turns_and_nothing_twice() -> None:
    assert in_turns(("a", "b", "c"), ("d", "a"), ()) == ("a", "d", "b", "c")
    assert in_turns((), ()) == ()
