"""Korean phrases as they are written down: a table of lines, its numbers open to being put right."""

from __future__ import annotations

from functools import partial

from kitchend.core import forms as core_forms
from kitchend.core.grammar import pattern

forms = partial(core_forms.forms, put_right=pattern("(아니|아니요)"))
"""The phrases of one rule; a number may be put right with 아니 or 아니요."""
