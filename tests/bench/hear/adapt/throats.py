"""Whom the second ear learns from: the voices to tune on, synthetic people, espeak-ng's with other mouths.

Four people are kept back, to see what strangers gain. Of the voices to tune on one speaker, awb, is left out
as well: the accept rule's evidence is to have somebody in it whom the ear has not heard.
"""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from functools import cache

from tests.bench.hear import people
from tests.bench.hear.voices import Speaker, speakers

STRANGERS = ("af_sarah", "am_michael", "bf_emma", "bm_lewis")
"""Kept back."""
_MOUTHS = (
    "f1",
    "f2",
    "f4",
    "f5",
    "m1",
    "m3",
    "m4",
    "m7",
    "m8",
    "klatt2",
    "Andy",
    "Annie",
    "Linda",
    "Mike",
    "steph",
)
_TONGUES = ("en-us", "en-gb", "en-gb-x-rp", "en-gb-scotland", "en-us-nyc")
_THROATS = (0.9, 0.96, 1.0, 1.05, 1.12)
_PEOPLE, _OLD = 0.5, 0.35
"""Shares of the people and of the voices to tune on; the rest is espeak-ng's."""
_MIXED = 0.5


def somebody(chance: random.Random) -> Speaker:
    """Any of them, with any throat."""
    drawn, names = chance.random(), _names()
    if names and drawn < _PEOPLE:
        first, second = chance.sample(names, 2)
        voice = f"{first} {second} {chance.choice((0.3, 0.5))}" if chance.random() < _MIXED else first
        found = Speaker(name=voice, engine="kokoro", voice=voice, part="tune")
    elif drawn < _PEOPLE + _OLD:
        found = chance.choice([one for one in speakers("tune") if one.throat == 1.0 and one.voice != "awb"])
    else:
        voice = f"{chance.choice(_TONGUES)}+{chance.choice(_MOUTHS)}"
        found = Speaker(name=voice, engine="espeak", voice=voice, part="tune")
    throat = chance.choice(_THROATS)
    return replace(found, name=f"{found.name} {throat}", throat=throat)


def stranger(chance: random.Random) -> Speaker:
    """One whom the ear does not learn from; awb alone where there are no people."""
    voice = chance.choice((*STRANGERS, "awb")) if people.are_there() else "awb"
    return Speaker(name=voice, engine="flite" if voice == "awb" else "kokoro", voice=voice, part="tune")


@cache
def _names() -> tuple[str, ...]:
    if people.are_there():
        return tuple(name for name in people.names() if name not in STRANGERS)
    print(f"no synthetic people: kokoro-onnx or {people.FOLDER} is missing", file=sys.stderr)
    return ()
