"""English phrases as they are written down: a table of lines, its numbers open to being put right."""

from __future__ import annotations

from functools import partial

from kitchend.core import forms as core_forms

forms = partial(core_forms.forms, put_right="(no|sorry|i mean)")
"""The phrases of one rule; a number may be put right with "no", "sorry" or "i mean"."""
