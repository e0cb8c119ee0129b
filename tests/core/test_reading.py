"""What reading leaves out is each language's own: "a" is nothing in English and a word elsewhere."""

from dataclasses import replace

import pytest

from kitchend.core.grammar import Entry, Heard, Lexicon, Node, is_article, opening_of, pattern
from kitchend.core.languages import LANGUAGES
from kitchend.core.names import without_articles
from kitchend.core.phrases import sayable
from kitchend.core.reading import Reading, reading
from kitchend.core.tongue import of_state, speaking, tongue
from tests.core.lighthouse import BUSY, MANNERS, NOW

OTHER = "xr"


@pytest.fixture(autouse=True)
def _other(monkeypatch: pytest.MonkeyPatch) -> None:
    """English words, read as a language does whose article is "ta" and in which "a" means something."""
    own = Reading(left_out=frozenset({"ta"}), one_form={"minuten": "minut"})
    other = replace(LANGUAGES["en"], tag=OTHER, reading=own)
    monkeypatch.setitem(LANGUAGES, OTHER, other)


@pytest.mark.parametrize(
    ("tag", "text", "bare"),
    [
        ("en", "the rice an hour", ("rice", "hour")),
        ("en", "five minutes", ("five", "minute")),
        (OTHER, "the rice a ta minuten minutes", ("the", "rice", "a", "minut", "minutes")),
        ("ko", "a 밥 the", ("a", "밥", "the")),
    ],
)
def test_words_are_left_out_as_the_language_says(tag: str, text: str, bare: tuple[str, ...]) -> None:
    with speaking(tag):
        assert Heard.of(text).bare == bare


def _may_be_empty(*nodes: Node) -> tuple[bool, ...]:
    return tuple(opening_of(node, reading()).may_be_empty for node in nodes)


def test_an_article_of_one_language_is_a_word_of_another() -> None:
    the, ta = pattern("the"), pattern("ta")
    assert (is_article(the), is_article(ta)) == (True, False)
    assert _may_be_empty(the, ta) == (True, False)
    assert without_articles("rest the ta duck") == "rest ta duck"
    with speaking(OTHER):
        assert (is_article(the), is_article(ta)) == (False, True)
        assert _may_be_empty(the, ta) == (False, True)
        assert without_articles("rest the ta duck") == "rest the duck"


def test_a_lexicon_that_languages_share_is_read_as_each_of_them_reads() -> None:
    """Whoever reads it first: the trees it is read by are kept, a language apart."""
    shared = Lexicon([Entry("a couple more minutes", 120)])
    with speaking(OTHER):
        assert list(shared.reads(Heard.of("a couple more minutes"), 0)) == [(4, 120)]
        assert not list(shared.reads(Heard.of("couple more minute"), 0))
    assert list(shared.reads(Heard.of("couple more minute"), 0)) == [(3, 120)]


def test_what_may_be_said_is_read_in_its_own_language_wherever_it_is_read() -> None:
    """Ears ask it from threads of their own, which speak no language yet."""
    here = sayable(BUSY, NOW)
    there = sayable(replace(BUSY, manners=replace(MANNERS, language=OTHER)), NOW)
    for tag in ("en", "ko", OTHER):
        with speaking(tag):
            assert here.accepts("hey kitchen what is the next")
            assert here.meaning("hey kitchen what is the next") == here.meaning("hey kitchen what is next")
            assert not there.accepts("hey kitchen what is the next")
            assert there.accepts("hey kitchen what is ta next")
            assert there.network().final > 1


def test_what_has_no_language_is_read_in_the_one_spoken() -> None:
    asked = of_state(lambda thing: tongue().tag)
    with speaking("ko"):
        assert asked("밥") == "ko"
    assert asked("rice") == "en"
