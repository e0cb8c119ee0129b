"""What a soundcheck says, and the three phrases it has repeated, in English: part of the sentences.

The phrases are commands that can be said while no dinner is on, one short, two with a number in them.
"""

from __future__ import annotations

from collections.abc import Mapping

SOUNDCHECK: Mapping[str, str] = {
    "soundcheck.hello": "Can you hear me from where you cook?",
    "soundcheck.repeat": "Say after me: {words}.",
    "soundcheck.1": "what's on",
    "soundcheck.2": "time the eggs for nine minutes",
    "soundcheck.3": "remind me in ten minutes to turn the bread",
}
