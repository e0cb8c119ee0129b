"""Korean: what is said, shown and heard in it. Sentence tables are merged here."""

from __future__ import annotations

from kitchend.core.languages.ko import numbers, speech, things, typed, verbs
from kitchend.core.languages.ko.amounts import AMOUNTS
from kitchend.core.languages.ko.board import KOREAN as BOARD
from kitchend.core.languages.ko.calls import CALLS
from kitchend.core.languages.ko.checks import CHECKS
from kitchend.core.languages.ko.complaints import COMPLAINTS
from kitchend.core.languages.ko.cook import COOK
from kitchend.core.languages.ko.door_words import DOOR_WORDS
from kitchend.core.languages.ko.faults import FAULTS
from kitchend.core.languages.ko.foods import FOODS
from kitchend.core.languages.ko.papers import PAPERS
from kitchend.core.languages.ko.phrasebook import PHRASES
from kitchend.core.languages.ko.readings import READINGS
from kitchend.core.languages.ko.safety import SAFETY
from kitchend.core.languages.ko.screens import SCREENS
from kitchend.core.languages.ko.sentences import KOREAN as SENTENCES
from kitchend.core.languages.ko.sheets import SHEETS
from kitchend.core.languages.ko.soundcheck import SOUNDCHECK
from kitchend.core.languages.ko.yaml_faults import YAML_FAULTS
from kitchend.core.languages.language import Language

LANGUAGE = Language(
    tag="ko",
    name="한국어",
    address="안녕 주방",
    espeak="ko",
    whisper="ko",
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
)
