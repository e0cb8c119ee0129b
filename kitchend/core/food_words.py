"""The words by which a plan tells what food it is, where that stands and where fire burns, of every language.

Each language's folder brings its own (`languages/*/foods.py`). All of them are looked for in every plan: what
a word means does not depend on who asks, and a plan may mix them.

heaters                    where food is hot
ovens                      of these, where it roasts in hot air
keepers, cold keepers      where it is kept as it is, hot or cold; where it is kept cold
cooking, reheating         what is done to it in the heat
cooling, chilling, thawing what makes it colder, what does so in the cold, what warms it from ice
washing                    all of a language's words together are the washing of hands
baked, perishable          what may stand, and what may not though no raw flesh is in it
unsure                     kinds that a name alone does not tell: a ham may be cooked already
also.plants                what is done to garlic too, so that in a step's name it says little
fires, charcoal, gas, flames, indoors, outdoors    where something burns
poultry … leftovers        the kinds of food that guidance has rows for
"""

from __future__ import annotations

from functools import cache

from kitchend.core.languages import LANGUAGES


@cache
def food_words(key: str) -> frozenset[str]:
    """Every language's words of a key. KeyError for one that there is not."""
    return frozenset(word for group in food_word_groups(key) for word in group)


@cache
def food_word_groups(key: str) -> tuple[frozenset[str], ...]:
    """The words of a key, a language apart."""
    return tuple(frozenset(one.foods[key].split()) for one in LANGUAGES.values())
