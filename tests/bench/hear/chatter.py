"""Talk that is not meant for kitchend: made-up sentences read by voices, and recorded people.

Many sentences hold the names of dishes, numbers and the words of commands, as talk in a kitchen does. None of
them is a command. Recorded people come from two Debian packages: pocketsphinx-testdata (read books, cards),
asterisk-core-sounds-en-wav (a telephone's announcements without its numbers said alone: "third" is an answer
to the letter); what is not installed is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.wav import read_wav
from tests.bench.hear.corpus import Part, share_of
from tests.bench.hear.voices import speakers, spoken

PEOPLE = {
    "pocketsphinx-testdata": Path("/usr/share/pocketsphinx/test/data"),
    "asterisk-core-sounds-en-wav": Path("/usr/share/asterisk/sounds"),
}
COMMANDS = frozenset(["digits", "vm-first"])
"""Folders and recordings that are answers to the letter."""
STRETCH_S = 60.0

FRAMES = """
did you see that {person} is coming on {day} with {number} people
i told {person} about the {dish} and nobody believed me
my mother always put {number} {food} in the {dish}
we had {dish} at the wedding and it was terrible
how long have you been living in {place}
{person} wants to know whether there is any {food} in the {dish}
yes i think {person} said the same thing
no that was the other {day} when it rained
well {number} minutes is nothing if the traffic is bad
it takes about {number} minutes to walk there from the station
the {dish} in that place costs {number} euros now
i heard on the radio that {place} will be warm until {day}
what's wrong with the car this time
could you hand me the {thing} please
where did you put the {thing} i had it a minute ago
he is {number} and she is nearly {number}
they moved the meeting from {day} to {day}
i don't like {food} but the children do
the doctor said {number} steps a day would be enough
turn the music down a bit would you
we should call {person} before {day}
that film was on for nearly {number} hours
are you on the train already
is the {thing} done or does it need another coat of paint
she carried on with the story until {number} o'clock in the morning
hold the door for {person} please
drop me off at the corner and i will walk
the oven at my sister's place reads in fahrenheit
i always rest on {day} after work
when do you think {person} will be ready to go
first one then the other fell asleep on the sofa
nobody wanted the {dish} so the dog had it
we were about {number} kilometres from {place} when it broke down
open the window it is too hot in here
the price of {food} has gone up by {number} percent
let's sit outside if it stays dry on {day}
have you heard from {person} since {day}
that's enough wine for me thank you
once more and i shall scream
set the alarm for {number} minutes earlier tomorrow will you
quiet the baby is asleep upstairs
remind {person} to bring the {thing}
they serve {dish} there until half past {number}
what's on television later
stop it that is not funny
it was {number} degrees in {place} last week
sure but only if {person} does the washing up
yes please with a little milk
no thanks i have had {number} already
right so where were we
i did not say that at all
the score was {number} to {number} when we left
we eat far too late in this house
it's ready when you are said {person}
i have done that before in {place}
""".strip().splitlines()
FILLS = {
    "person": "robert,aunt vera,the neighbours,my brother,jonas,doctor hale,the twins,your mother".split(","),
    "day": "monday,tuesday,friday,saturday,sunday,thursday".split(","),
    "number": "two,three,five,seven,nine,ten,twelve,fifteen,twenty,thirty,forty,fifty,ninety".split(","),
    "dish": "pork,dumplings,cabbage,custard,bream,bulgur,flatbread,marrow,barley,beetroot,crumble,brisket,"
    "cornbread,beans,slaw,duck,sprouts,chestnuts,polenta,plum sauce".split(","),
    "food": "onions,butter,salt,eggs,olive oil,apples,garlic,cream".split(","),
    "place": "lisbon,the village,leeds,the harbour,ghent,my old street".split(","),
    "thing": "ladder,corkscrew,newspaper,umbrella,screwdriver,blue bowl,remote control".split(","),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """About a minute of talk."""

    name: str
    sound: Samples


def sentences(part: Part) -> Iterator[str]:
    """Sentences without end, never two alike in a row; a frame belongs to one part."""
    frames = [frame for frame in FRAMES if (share_of("frame", frame) < 0.5) == (part == "tune")]
    number = 0
    while True:
        frame = frames[int(share_of("which", part, number) * len(frames))]
        yield _filled(frame, number)
        number += 1


def _filled(frame: str, number: int) -> str:
    for place, (key, words) in enumerate(FILLS.items()):
        while f"{{{key}}}" in frame:
            chosen = words[int(share_of(key, number, place, len(frame)) * len(words))]
            frame = frame.replace(f"{{{key}}}", chosen, 1)
    return frame


def read_aloud(part: Part, minutes: float, cache_folder: Path) -> Iterator[Stretch]:
    """So much talk by the part's voices, pauses of a second between sentences."""
    voices, texts, number = speakers(part), sentences(part), 0
    for stretch in range(round(minutes * 60 / STRETCH_S)):
        pieces: list[Samples] = []
        while sum(map(len, pieces)) < STRETCH_S * SAMPLE_RATE:
            speaker = voices[number % len(voices)]
            pieces += [spoken(next(texts), speaker, cache_folder), _pause(number)]
            number += 1
        yield Stretch(name=f"read {stretch}", sound=np.concatenate(pieces))


def _pause(number: int) -> Samples:
    return np.zeros(int((0.4 + share_of("pause", number)) * SAMPLE_RATE), np.float32)


def people(part: Part, minutes: float) -> Iterator[Stretch]:
    """So much recorded speech, or all there is of it for this part."""
    pieces: list[Samples] = []
    given = 0
    for file in _recordings():
        if (share_of("people", file.name) < 0.5) != (part == "tune"):
            continue
        pieces += [_levelled(read_wav(file)), _pause(len(pieces))]
        if sum(map(len, pieces)) >= STRETCH_S * SAMPLE_RATE:
            yield Stretch(name=f"people {given}", sound=np.concatenate(pieces))
            pieces, given = [], given + 1
        if given * STRETCH_S >= minutes * 60:
            return


def _recordings() -> list[Path]:
    found = [
        file for folder in PEOPLE.values() for file in folder.rglob("*.wav") if file.parent.name != "digits"
    ]
    return sorted(found, key=lambda file: share_of("order", file.name))


def _levelled(sound: Samples) -> Samples:
    loud = sound[np.abs(sound) > 0.01]
    level = float(np.sqrt(np.mean(loud**2))) if len(loud) else 1.0
    return (sound * min(0.08 / level, 4.0)).astype(np.float32)
