"""Why a dinner cannot be had as asked, and what would help: each suggestion is tried by planning again."""

from __future__ import annotations

from kitchend.core.clock import WallTime
from kitchend.core.timeline import Conflict
from kitchend.planning.outcome import Outcome


def conflicts_of(outcome: Outcome, origin: WallTime) -> tuple[Conflict, ...]:
    if outcome.late_s < outcome.problem.settings.explain_from_s:
        return ()
    return (Conflict(message=f"dinner would be {outcome.late_s // 60} min late"),)
