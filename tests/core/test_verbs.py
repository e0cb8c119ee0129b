"""Imperatives taken apart and turned: the English a plan's step names are made of."""

import pytest

from kitchend.core.languages.en.verbs import gerund, is_plural, participle, taken_apart
from kitchend.core.languages.language import Imperative

PARTS: list[tuple[str, tuple[str, ...], str, str]] = [
    ("steam the leeks", ("steam",), "", "leeks"),
    ("steam leeks", ("steam",), "", "leeks"),
    ("take the salmon out", ("take",), "out", "salmon"),
    ("take out the salmon", ("take",), "out", "salmon"),
    ("take the bread out of the oven", ("take",), "out", "bread"),
    ("put the flatbreads in the oven", ("put",), "in", "flatbreads"),
    ("set the pie aside", ("set",), "aside", "pie"),
    ("wash and trim the leeks", ("wash", "trim"), "", "leeks"),
    ("cook rice and beans", ("cook",), "", "rice and beans"),
    ("bring the water to the boil", ("bring",), "", "water"),
    ("toss the leeks and the beans", ("toss",), "", "leeks"),
    ("top up the charcoal", ("top",), "up", "charcoal"),
    ("open the bottom vent", ("open",), "", "bottom vent"),
    ("mash all the beans", ("mash",), "", "beans"),
    ("let it rest", ("let",), "", ""),
    ("preheat", ("preheat",), "", ""),
    ("", (), "", ""),
]


@pytest.mark.parametrize(
    ("name", "verbs", "particle", "thing"), PARTS, ids=[row[0] or "empty" for row in PARTS]
)
def test_step_name_comes_apart(name: str, verbs: tuple[str, ...], particle: str, thing: str) -> None:
    assert taken_apart(name) == Imperative(verbs=verbs, particle=particle, thing=thing)


# Forms as English dictionaries list them under each verb.
FORMS = """
steam steamed steaming | trim trimmed trimming | baste basted basting
fry fried frying | stir stirred stirring | chop chopped chopping
boil boiled boiling | season seasoned seasoning | take taken taking
put put putting | cut cut cutting | light lit lighting
heat heated heating | spread spread spreading | shake shaken shaking
beat beaten beating | freeze frozen freezing | lay laid laying
bring brought bringing | mix mixed mixing | whip whipped whipping
dice diced dicing | toss tossed tossing | open opened opening
wrap wrapped wrapping | unwrap unwrapped unwrapping | dry dried drying
grind ground grinding | make made making | knead kneaded kneading
spray sprayed spraying | chill chilled chilling | blanch blanched blanching
preheat preheated preheating | halve halved halving | grill grilled grilling
pour poured pouring | cover covered covering | set set setting
sear seared searing | drain drained draining | feed fed feeding
stew stewed stewing | fillet filleted filleting
"""
VERBS = [tuple(forms.split()) for forms in FORMS.replace("\n", "|").split("|") if forms.strip()]


@pytest.mark.parametrize(("verb", "done", "doing"), VERBS, ids=[row[0] for row in VERBS])
def test_verb_is_turned_as_the_dictionary_has_it(verb: str, done: str, doing: str) -> None:
    assert (participle(verb), gerund(verb)) == (done, doing)


@pytest.mark.parametrize("name", ["leeks", "rice and beans", "glazed onions", "rolls with butter", "people"])
def test_name_takes_are(name: str) -> None:
    assert is_plural(name)


@pytest.mark.parametrize(
    "name", ["salmon", "asparagus", "couscous", "pot of beans", "watercress", "bass", ""]
)
def test_name_takes_is(name: str) -> None:
    assert not is_plural(name)
