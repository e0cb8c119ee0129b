"""English phrases as they are written down: a table of lines, its numbers open to being put right."""

from __future__ import annotations

from functools import partial

from kitchend.core import forms as core_forms
from kitchend.core.grammar import pattern
from kitchend.core.padding import Padding

forms = partial(core_forms.forms, put_right=pattern("(no|sorry|i mean)"))
"""The phrases of one rule; a number may be put right with "no", "sorry" or "i mean"."""

PADDING = Padding(
    leads=("okay", "right", "so", "just", "oh", "well", "sorry"),
    asking=("can you", "could you", "would you", "will you", "can we", "could we", "please"),
    tails=("please", "now", "then", "thanks", "thank you", "would you", "for me"),
    orders=frozenset(
        {"give", "take", "hold", "carry on", "drop", "time", "remind", "cook", "shift", "pass at", "undo"}
    ),
    bare=frozenset(
        {"yes", "okay", "no", "number"}
    ),  # a word or two: "five please" is heard in "quiet please"
)
