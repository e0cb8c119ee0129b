"""The algebra of phrases: patterns read, texts read back, texts written, JSGF drawn."""

import pytest

from kitchend.core.derivations import likeliest, matches, sampled, texts
from kitchend.core.grammar import (
    AnyWords,
    Either,
    Entry,
    Heard,
    Lexicon,
    Maybe,
    Opening,
    Row,
    Slot,
    Word,
    lexicons_in,
    opening_of,
    pattern,
    pruned,
    words_in,
)
from kitchend.core.jsgf import grammar_text, lexicon_text, node_text, weighted
from kitchend.core.reading import reading

NUMBERS = Lexicon([Entry("one", 1, 3.0), Entry("two", 2), Entry("two hundred", 200), Entry("a dozen", 12)])
LEXICONS = {"n": NUMBERS, "none": Lexicon(), "any": AnyWords()}
EMPTY = {"none"}
ASKED = pattern("how long [is left] (on|for) [the] {count=n}")


def test_pattern_reads_as_a_tree() -> None:
    tree = Row(
        (
            Word("how"),
            Word("long"),
            Maybe(Row((Word("is"), Word("left")))),
            Either((Word("on"), Word("for"))),
            Maybe(Word("the")),
            Slot("count", "n"),
        )
    )
    assert pattern("how long [is left] (on|for) [the] {count=n}") == tree


def test_slot_without_a_key_is_kept_under_its_lexicon() -> None:
    assert pattern("{n}") == Slot("n", "n")


@pytest.mark.parametrize("text", ["how (long", "how [long", "how )", "how {long", "how % long", "{=n}"])
def test_malformed_pattern_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="pattern"):
        pattern(text)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("how long on the one", [{"count": 1}]),
        ("how long is left for two", [{"count": 2}]),
        ("how long for two hundred", [{"count": 200}]),
        ("how long for a dozen", [{"count": 12}]),
        ("how the long on dozen", [{"count": 12}]),
        ("how long for", []),
        ("how long for two two", []),
        ("how long is for two", []),
        ("", []),
    ],
)
def test_text_is_read_back_into_values(text: str, found: list[dict[str, int]]) -> None:
    assert matches(ASKED, LEXICONS, Heard.of(text)) == found


def test_every_derivation_is_found_once() -> None:
    tree = pattern("({a=n}|{b=n}) [{c=n}]")
    found = matches(tree, LEXICONS, Heard.of("two hundred"))
    assert found == [{"a": 200}, {"b": 200}]
    assert matches(pattern("[{a=n}] [{a=n}]"), LEXICONS, Heard.of("two")) == [{"a": 2}]


def test_units_are_read_in_either_number() -> None:
    tree = pattern("{n} minutes")
    assert matches(tree, LEXICONS, Heard.of("one minute")) == matches(tree, LEXICONS, Heard.of("one minutes"))


def test_any_words_keep_their_articles() -> None:
    tree = pattern("remind me to {what=any} now")
    assert matches(tree, LEXICONS, Heard.of("remind me to feed the cat now")) == [{"what": "feed the cat"}]


def test_optional_parts_in_number_do_not_multiply_the_reading() -> None:
    tree = pattern(" ".join(["[very]"] * 60) + " {n}")
    assert matches(tree, LEXICONS, Heard.of("very " * 30 + "one")) == [{"n": 1}]


def test_parts_without_words_are_cut_away() -> None:
    assert pruned(pattern("go [{none}] now"), EMPTY) == pattern("go now")
    assert pruned(pattern("go ({none}|home)"), EMPTY) == pattern("go home")
    assert pruned(pattern("go {none}"), EMPTY) is None
    assert pruned(pattern("({none}|to {none})"), EMPTY) is None
    assert pruned(pattern("({n}|here|{none})"), EMPTY) == pattern("({n}|here)")


def test_all_texts_are_listed_in_order_and_read_back() -> None:
    tree = pattern("(give|take) [the] {n}")
    listed = texts(tree, LEXICONS, 100)
    assert len(listed) == len(set(listed)) == 16
    assert listed[:2] == ["give the one", "give the two"]
    assert all(matches(tree, LEXICONS, Heard.of(text)) for text in listed)
    assert texts(tree, LEXICONS, 3) == listed[:3]


def test_likeliest_texts_come_first() -> None:
    found = likeliest(pattern("(give|take) [all] [the] {n}"), LEXICONS, 4)
    assert found[0] == (1.0, "give the one")
    assert [p for p, _ in found] == sorted((p for p, _ in found), reverse=True)
    assert len(found) == 4


def test_a_part_with_a_share_of_its_own_is_listed_last_and_seldom_likely() -> None:
    tree = Row((Word("go"), Maybe(Word("home"), 0.01)))
    assert texts(tree, LEXICONS, 9) == ["go", "go home"]
    assert likeliest(tree, LEXICONS, 9) == [(1.0, "go"), (0.01, "go home")]
    assert node_text(tree) == "go (/0.990/ <NULL> | /0.010/ home)"
    assert pruned(Maybe(Word("home"), 0.01), EMPTY) == Maybe(Word("home"), 0.01)


def test_choices_lead_to_a_text() -> None:
    tree = pattern("(give|take) [the] {n}")
    assert sampled(tree, LEXICONS, lambda n: n - 1) == "take the a dozen"
    assert sampled(tree, LEXICONS, lambda n: 0) == "give one"


@pytest.mark.parametrize(
    ("text", "words", "lexicons", "may_be_empty"),
    [
        ("go home", {"go"}, set(), False),
        ("[the] {n}", set(), {"n"}, False),
        ("[please] (go|[very] come)", {"please", "go", "very", "come"}, set(), False),
        ("[please]", {"please"}, set(), True),
        ("[please] [the] [{n}]", {"please"}, {"n"}, True),
        ("{any} now", set(), {"any"}, False),
        ("minutes", {"minute"}, set(), False),
    ],
)
def test_how_a_tree_can_begin(text: str, words: set[str], lexicons: set[str], may_be_empty: bool) -> None:
    opening = opening_of(pattern(text), reading())
    assert opening == Opening(frozenset(words), frozenset(lexicons), may_be_empty)


def test_a_word_begins_a_text_by_itself_or_by_an_entry() -> None:
    opening = opening_of(pattern("[go] {n} now"), reading())
    assert LEXICONS["n"].begins_with("two", reading())
    assert not LEXICONS["n"].begins_with("now", reading())
    assert LEXICONS["any"].begins_with("now", reading())
    assert opening.takes("two", lambda name: name == "n")
    assert opening.takes("go", lambda name: False)
    assert not opening.takes("now", lambda name: name == "any")


def test_words_and_lexicons_of_a_tree_are_listed() -> None:
    tree = pattern("go [home|{a=n}] (with {any}|without)")
    assert set(words_in(tree)) == {"go", "home", "with", "without"}
    assert set(lexicons_in(tree)) == {"n", "any"}
    assert set(NUMBERS.words()) == {"one", "two", "hundred", "a", "dozen"}


def test_lexicon_holds_each_wording_once() -> None:
    assert len(Lexicon([Entry("one", 1), Entry("one", 1, 5.0), Entry("one", 2)]).entries) == 2


def test_jsgf_is_factored_and_weighted() -> None:
    assert node_text(ASKED) == "how long [is left] (on | for) [the] <n>"
    assert lexicon_text(NUMBERS) == "/1.000/ one | /0.500/ two [hundred] | /0.250/ a dozen"
    tens = Lexicon([Entry(text, text) for text in ("ten", "thirty", "thirty five", "forty", "forty five")])
    assert lexicon_text(tens) == "/0.250/ ten | /1.000/ (thirty | forty) [five]"
    assert node_text(pattern("(on|in|) it")) == "(on | in | <NULL>) it"
    assert lexicon_text(Lexicon([Entry("to go", 1), Entry("to stay", 2)])) == "to (go | stay)"


def test_jsgf_weights_are_never_exponents() -> None:
    assert weighted([(1e-9, "seldom"), (1.0, "often")]) == "/0.001/ seldom | /1.000/ often"


def test_jsgf_has_one_public_rule() -> None:
    assert grammar_text("g", "a", {"a": "x <b>", "b": "y | z"}) == (
        "#JSGF V1.0;\ngrammar g;\npublic <a> = x <b>;\n<b> = y | z;\n"
    )
