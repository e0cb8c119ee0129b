"""Takes a step's imperative apart ("take the chicken out") and turns its verb: taken out, taking out.

Rules of English spelling with a table of the irregular verbs kitchens use. Nothing here knows a plan. A name
that begins with no verb at all still comes apart: its first word is taken for one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from kitchend.core.languages.en.numbers import number_texts, words_of
from kitchend.core.languages.en.small_words import ARTICLES
from kitchend.core.languages.language import Imperative, Shapes
from kitchend.core.languages.writing import PLAIN

LETTERS = PLAIN
WORD = re.compile(r"\d+|[a-z][a-z']*")

PARTICLES = frozenset("up off out down on in over back together away aside apart through under".split())
PREPOSITIONS = PARTICLES | frozenset(
    "with without into onto to from of for at by until till around under over between before after while as "
    "and or then again once if when where".split()
)
PRONOUNS = frozenset("it them everything all".split())
DETERMINERS = ARTICLES | frozenset("some your our its their both all".split())

_PARTICIPLES = dict(
    pair.split("/")
    for pair in (
        "put/put cut/cut set/set let/let shut/shut split/split spread/spread beat/beaten take/taken get/got "
        "light/lit relight/relit lay/laid freeze/frozen shake/shaken make/made bring/brought grind/ground "
        "keep/kept leave/left hang/hung build/built draw/drawn blow/blown break/broken choose/chosen do/done "
        "feed/fed find/found hold/held sweep/swept stick/stuck tear/torn throw/thrown slide/slid bind/bound "
        "rise/risen run/run spin/spun stand/stood give/given eat/eaten sew/sewn go/gone"
    ).split()
)
_VOWELS = "aeiou"
_DOUBLING = re.compile(r"^(?:un|re|pre)?[^aeiou]*[aeiou][bdfgklmnprtvz]$")


def taken_apart(name: str) -> Imperative:
    """The parts of a spoken step name."""
    words = name.split()
    verbs, rest = _verbs(words)
    particle = ""
    if rest and rest[0] in PARTICLES:
        particle, rest = rest[0], rest[1:]
    rest = _without_determiners(rest)
    size = next((i for i, word in enumerate(rest) if i and _ends_thing(rest, i)), len(rest))
    thing, tail = rest[:size], rest[size:]
    if tail and not particle and tail[0] in PARTICLES:
        particle = tail[0]
    if thing and (thing[0] in PRONOUNS or thing[0] in PREPOSITIONS):
        thing = []
    return Imperative(verbs=verbs, particle=particle, thing=" ".join(thing))


def _verbs(words: list[str]) -> tuple[tuple[str, ...], list[str]]:
    """One verb, or two joined by "and" before the thing: "wash and trim the greens"."""
    if len(words) > 3 and words[1] == "and" and words[2] not in DETERMINERS:
        return (words[0], words[2]), words[3:]
    return tuple(words[:1]), words[1:]


def _ends_thing(words: list[str], at: int) -> bool:
    """Whether the thing ends before this word; "rice and beans" is one thing."""
    if words[at] in ("and", "or"):
        return at + 1 >= len(words) or words[at + 1] in DETERMINERS
    return words[at] in PREPOSITIONS or words[at] in ARTICLES


def _without_determiners(words: list[str]) -> list[str]:
    while words and words[0] in DETERMINERS:
        words = words[1:]
    return words


def participle(verb: str) -> str:
    """What has been done: steam -> steamed, trim -> trimmed, take -> taken."""
    if verb in _PARTICIPLES:
        return _PARTICIPLES[verb]
    if verb.endswith("e"):
        return verb + "d"
    if len(verb) > 2 and verb.endswith("y") and verb[-2] not in _VOWELS:
        return verb[:-1] + "ied"
    return _doubled(verb) + "ed"


def gerund(verb: str) -> str:
    """What is being done: baste -> basting, trim -> trimming."""
    if verb.endswith("e") and not verb.endswith(("ee", "oe", "ye")):
        return verb[:-1] + "ing"
    return _doubled(verb) + "ing"


def _doubled(verb: str) -> str:
    """One syllable that ends consonant, vowel, consonant doubles its last letter."""
    return verb + verb[-1] if _DOUBLING.match(verb.replace("qu", "q")) else verb


_SINGULAR_IN_S = frozenset(
    "asparagus couscous hummus houmous molasses swiss octopus citrus hibiscus bass cress watercress grass "
    "gas glass press mess bus schnapps".split()
)
_PLURAL_WITHOUT_S = frozenset("people geese gnocchi".split())


def is_plural(name: str) -> bool:
    """Whether a thing takes "are": "greens", "rice and beans"; not "pot of beans", "asparagus"."""
    words = name.split()
    if "and" in words[1:-1]:
        return True
    cut = next((i for i, word in enumerate(words) if i and word in PREPOSITIONS), len(words))
    head = words[cut - 1] if words else ""
    if head in _PLURAL_WITHOUT_S:
        return True
    return head.endswith("s") and not head.endswith(("ss", "us", "'s")) and head not in _SINGULAR_IN_S


_NUMBER_WORDS = frozenset(word for n in range(100) for word in number_texts(n))


def ends(name: str) -> Iterator[str]:
    """What is left of a thing's name without its first word, its first two, …"""
    words = name.split()
    size = next((i for i, word in enumerate(words) if i and word in PREPOSITIONS), len(words))
    if "and" not in words:
        yield from (" ".join(words[i:size]) for i in range(1, size) if words[size - 1] not in _NUMBER_WORDS)


def shapes(parts: Imperative) -> Shapes:
    """ "trimmed", "trimming"; two verbs together, then each alone."""
    return Shapes(done=_shaped(parts, participle), doing=_shaped(parts, gerund)[:1])


def _shaped(parts: Imperative, shape: Callable[[str], str]) -> tuple[str, ...]:
    """The verb or verbs in one shape: together, then each alone."""
    words = [shape(verb) for verb in parts.verbs]
    together = words if len(words) == 1 else [" and ".join(words), *words]
    return tuple(f"{word} {parts.particle}".strip() for word in together)


def written_number(token: str) -> str:
    """ "sixty two" for 62; what is longer than three digits is said digit by digit."""
    return words_of(int(token)) if len(token) < 4 else " ".join(words_of(int(digit)) for digit in token)
