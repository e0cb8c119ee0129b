"""What can be said to kitchend: every form of every command, once. English so far.

Grammars, candidates and the parser are all made from this table. Where a text fits several forms, the earlier
wins: steps and answers, then questions, then what has numbers in it.
"""

from __future__ import annotations

from kitchend.core.forms import Phrase
from kitchend.core.languages.en.phrases_asks import ASKS
from kitchend.core.languages.en.phrases_steps import STEPS
from kitchend.core.languages.en.phrases_times import TIMES
from kitchend.core.languages.en.phrases_tone import TONE

PHRASES: tuple[Phrase, ...] = (*STEPS, *ASKS, *TONE, *TIMES)
"""The whole book."""
