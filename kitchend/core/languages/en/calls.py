"""What is said about several things at once, ahead of time, late, and how loudly kitchend speaks. English.

Part of the sentences; keys are facts, facts in braces.
"""

from __future__ import annotations

from collections.abc import Mapping

CALLS: Mapping[str, str] = {
    "things": "{count} things: {list}.",
    "things.up": "Up: {list}.",
    "things.still": "Still up: {list}.",
    "things.then": "Then {list}.",
    "one.missed": "{step}.",
    "up.clause": "the {thing}",
    "up.clause.late": "{thing} {time} ago",
    "now.clause.hot": "{step}, the {oven} is hot",
    "now.clause.late": "{step}, due {time} ago",
    "now.late": "{step}, due {time} ago",
    "seen.of": "{thing}: {sign}?",
    "soon": "Get ready: {step} in {time}.",
    "soon.of": "Get ready, {cook}: {step} in {time}.",
    "soon.place": "Get ready: {step} in {time}, once the {thing} {be} out.",
    "soon.place.of": "Get ready, {cook}: {step} in {time}, once the {thing} {be} out.",
    "soon.clause": "{step} in {time}",
    "soon.things": "Get ready: {list}.",
    "louder": "Louder.",
    "louder.most": "That is as loud as I go.",
    "softer": "Softer.",
    "softer.most": "That is as soft as I go.",
    "whisper": "Whispering.",
    "whisper.off": "Speaking up.",
    "quiet.for": "Quiet for {time}.",
}
