"""The chance that everything is at the pass in time, and the step most likely to spoil it.

A solved dinner is lived a few thousand times with drawn lengths (see `chance_sampler`). On time means at most
`TOO_LATE_S` after the pass; what is early waits. Always the same answer for the same dinner. Nothing is
planned here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kitchend.core.plan import StepId
from kitchend.planning.chance_rows import TOO_LATE_S, Rows, rows_of
from kitchend.planning.outcome import Outcome

if TYPE_CHECKING:
    from kitchend.planning.chance_sampler import Dinners, Drawn

DINNERS = 10_000
"""So many for a whole dinner: the chance is right to half a point, as far as the rules hold."""
DINNERS_OF_REST = 500
"""So many for a rest, which is planned again and again."""
_SUSPECTS = 4
"""Who may spoil it is sought among so many: those furthest beyond their usual in late dinners."""
_WORTH_S = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How sure the pass is, 0 to 1, and the step most likely to spoil it; None if none can."""

    on_time: float
    spoiler: StepId | None


def chance_of(outcome: Outcome, dinners: int = DINNERS) -> Chance:
    """The chance of a solved dinner."""
    rows = rows_of(outcome)
    return chance_of_rows(rows, dinners)


def chance_of_rows(rows: Rows, dinners: int) -> Chance:
    """The same, of a dinner laid out already."""
    from kitchend.planning import chance_sampler as sampler

    drawn = sampler.draw(rows, dinners)
    ready = sampler.ready(rows, drawn)
    on_time = float((ready <= rows.serve_s + TOO_LATE_S).mean())
    return Chance(on_time=round(on_time, 4), spoiler=_spoiler(rows, drawn, ready))


def _spoiler(rows: Rows, drawn: Drawn, ready: Dinners) -> StepId | None:
    """The step that, had it taken just its middle, would have saved most in the latest tenth of dinners."""
    from kitchend.planning import chance_sampler as sampler

    if not rows.uncertain:
        return None
    worst = ready.argsort()[-max(1, len(ready) // 10) :]
    latest = drawn.of(worst)
    late = float(ready[worst].mean())
    longer = {p: float(latest.lengths[p].mean() - drawn.lengths[p].mean()) for p in rows.uncertain}
    suspects = sorted(longer, key=lambda place: -longer[place])[:_SUSPECTS]
    spreads = {place: rows.rows[place].spread for place in suspects}
    usual_s = {place: spread.middle_s if spread else 0.0 for place, spread in spreads.items()}
    # All suspects at once: the same late dinners once over for each of them.
    ends = sampler.ready(rows, latest.with_each(usual_s))
    count = len(worst)
    saved = {
        place: late - float(ends[turn * count : (turn + 1) * count].mean())
        for turn, place in enumerate(suspects)
    }
    place = max(saved, key=lambda place: (saved[place], -place))
    return rows.rows[place].step if saved[place] >= _WORTH_S else None
