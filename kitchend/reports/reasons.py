"""Why the ears let a phrase go, in the language spoken now."""

from __future__ import annotations

from kitchend.core.tongue import clause, tongue


def why_let_go(reason: str) -> str:
    """The reason in words; as the ears say it where this language has none for it."""
    key = f"soundcheck.why.{reason}"
    return clause(key) if key in tongue().sentences else reason
