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
    "soundcheck.taken": 'taken for "{heard}"',
    "soundcheck.not": "not understood ({why})",
    "soundcheck.understood": "understood",
    "soundcheck.line": '"{asked}": {came}',
    "soundcheck.missed": "{missed} of {count} phrases were not understood, though loud "
    "enough: turn to the microphone, say them in one go as they were said to you, and check again.",
    "soundcheck.dead": "The microphone gives pure silence: is it muted, or is another one the default?",
    "soundcheck.lost": "The microphone does not hear the loudspeaker: turn the volume up, "
    "or bring them closer.",
    "soundcheck.clipped": "The microphone is overdriven: turn its gain down.",
    "soundcheck.loud": "The room is loud: move the microphone away from fan and extractor.",
    "soundcheck.soft": "Speech is too soft: turn the microphone's gain up, or stand closer.",
    "soundcheck.way": "From loudspeaker to microphone: {db} dB; kept, to speak loud enough.",
    "soundcheck.not.heard": "not heard",
    "soundcheck.devices": "Microphone: {input}; loudspeaker: {output}",
    "soundcheck.levels": "Noise {noise} dB, speech {speech} dB, own voice {own} dB.",
    "soundcheck.round": "Overdriven {share} % of the time. The way round: {way}.",
    "soundcheck.well": "All is well.",
    "soundcheck.ready": "Getting voice and ears ready ...",
    "soundcheck.quiet": "Be quiet for {seconds} seconds ...",
    "soundcheck.listen": "Listen ...",
    "soundcheck.now": 'Now you, as loud as while cooking: "{words}"',
    "soundcheck.why.does not fit the time it took": "does not fit the time it took",
    "soundcheck.why.explained better as free talk": "explained better as free talk",
    "soundcheck.why.half understood outside the answer window": "half understood outside the answer window",
    "soundcheck.why.kitchend's own voice": "kitchend's own voice",
    "soundcheck.why.no command in it": "no command in it",
    "soundcheck.why.no speech": "no speech",
    "soundcheck.why.not a whole command": "not a whole command",
    "soundcheck.why.not addressed": "not addressed",
    "soundcheck.why.part of longer talk": "part of longer talk",
    "soundcheck.why.too long for a command": "too long for a command",
    "soundcheck.why.too short": "too short",
}
