"""English: what is said, shown and heard in it. Sentence tables are merged here."""

from __future__ import annotations

from kitchend.core.languages.en import numbers, speech, things, typed, verbs
from kitchend.core.languages.en.amounts import AMOUNTS
from kitchend.core.languages.en.board import ENGLISH as BOARD
from kitchend.core.languages.en.calls import CALLS
from kitchend.core.languages.en.checks import CHECKS
from kitchend.core.languages.en.complaints import COMPLAINTS
from kitchend.core.languages.en.cook import COOK
from kitchend.core.languages.en.door_words import DOOR_WORDS
from kitchend.core.languages.en.faults import FAULTS
from kitchend.core.languages.en.foods import FOODS
from kitchend.core.languages.en.forming import PADDING
from kitchend.core.languages.en.papers import PAPERS
from kitchend.core.languages.en.phrasebook import PHRASES
from kitchend.core.languages.en.readings import READINGS
from kitchend.core.languages.en.safety import SAFETY
from kitchend.core.languages.en.screens import SCREENS
from kitchend.core.languages.en.sentences import ENGLISH as SENTENCES
from kitchend.core.languages.en.sheets import SHEETS
from kitchend.core.languages.en.small_words import READING
from kitchend.core.languages.en.soundcheck import SOUNDCHECK
from kitchend.core.languages.en.yaml_faults import YAML_FAULTS
from kitchend.core.languages.language import Language

LANGUAGE = Language(
    tag="en",
    name="English",
    address="hey kitchen",
    espeak="en-us",
    whisper="en",
    sentences={
        **SENTENCES,
        **CALLS,
        **READINGS,
        **SAFETY,
        **PAPERS,
        **SOUNDCHECK,
        **CHECKS,
        **SHEETS,
        **FAULTS,
        **YAML_FAULTS,
        **AMOUNTS,
        **SCREENS,
        **COMPLAINTS,
    },
    board=BOARD,
    door_words=DOOR_WORDS,
    phrases=PHRASES,
    cook=COOK,
    foods=FOODS,
    numbers=numbers,
    speech=speech,
    naming=verbs,
    typed=typed,
    things=things,
    padding=PADDING,
    reading=READING,
)
