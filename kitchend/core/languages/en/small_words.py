"""English words that reading leaves out, and plurals that are as good as the one: "five minute"."""

from __future__ import annotations

from kitchend.core.reading import Reading

ARTICLES = frozenset({"the", "a", "an"})

READING = Reading(
    left_out=ARTICLES,
    one_form={"minutes": "minute", "hours": "hour", "seconds": "second", "degrees": "degree"},
)
