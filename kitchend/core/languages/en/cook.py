"""How the made-up cook of a rehearsal says things in English: every way for each, the plainest first.

Braces are filled in by the rehearsal. "chatter" is no command; kitchend should take none of it for one.
"""

from __future__ import annotations

from collections.abc import Mapping

COOK: Mapping[str, tuple[str, ...]] = {
    "on": ("{thing} {be} on", "the {thing} {be} on"),
    "on.in": ("{thing} {be} in", "started the {thing}"),
    "done.name": ("{name} done", "{name} is done"),
    "done": ("{thing} {be} done", "the {thing} {be} ready"),
    "heard": ("heard", "heard that", "on it"),
    "reading": (
        "the {thing} {be} at {degrees}",
        "{thing} {be} at {degrees}",
        "{thing} {be} now at {degrees}",
    ),
    "give": (
        "{minutes} more minutes on the {thing}",
        "another {minutes} minutes on the {thing}",
        "give the {thing} another {minutes} minutes",
    ),
    "give.one": (
        "one more minute on the {thing}",
        "another minute on the {thing}",
        "give the {thing} another minute",
    ),
    "time left": ("how long on the {thing}", "how much longer for the {thing}", "time left on the {thing}"),
    "time": ("time the {thing} for {minutes} minutes", "set a timer for the {thing} for {minutes} minutes"),
    "remind": ("remind me in {minutes} minutes to {chore}", "remind me to {chore} in {minutes} minutes"),
    "hold": ("hold the {thing}", "pause the {thing}"),
    "carry on": ("carry on with the {thing}", "continue with the {thing}"),
    "undo": ("undo that", "take that back", "cancel that"),
    "later": ("serve {minutes} minutes later", "we'll eat {minutes} minutes later"),
    "earlier": ("serve {minutes} minutes earlier", "we'll eat {minutes} minutes earlier"),
    "yes": ("yes", "yes please", "that's right"),
    "no": ("no", "no thanks", "leave it"),
    "ask next": ("what's next", "what do i do next"),
    "ask on": ("what's on", "what's cooking"),
    "ask pass": ("when do we eat", "what time is dinner"),
    "ask on time": ("are we on time", "are we late"),
    "ask again": ("say again", "what did you say"),
    "things": ("eggs", "bread", "coffee"),
    "chores": ("open the wine", "set the table", "light the candles"),
    "chatter": (
        "did you feed the dog this morning",
        "it is raining again over the harbour",
        "your sister called about the weekend",
        "that knife needs sharpening one of these days",
        "we should paint this wall some other colour",
        "somebody left the gate open last night",
    ),
}
