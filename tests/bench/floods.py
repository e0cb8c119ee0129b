"""How thickly calls fall at the demo dinners with a human-like cook, whose words arrive as they are.

Prints; asserts nothing. To hold the figures against: five calls in ten minutes are likely excessive, more
than ten a flood (EEMUA 191 and ISA-18.2, as given in Chemical Processing, 6 December 2011).
"""

from __future__ import annotations

from pathlib import Path
from unittest.mock import patch

from kitchend.core.floods import rushes
from kitchend.rehearsal.ledger import Ledger
from kitchend.rehearsal.rehearsing import rehearse

PLANS = Path(__file__).parents[2] / "plans"
SEEDS = range(1, 6)
HOUR_S, TEN_MIN = 3600.0, 6


def main() -> None:
    """A line a dinner."""
    print("calls, most in ten minutes, mean in ten minutes of the busiest hour, seconds in flood")
    for plan in sorted(PLANS.glob("*.yaml")):
        for seed in SEEDS:
            moments = _lived(plan, seed)
            busiest_hour = max(sum(0 <= at - first < HOUR_S for at in moments) for first in moments)
            most = max(sum(0 <= at - first < 600 for at in moments) for first in moments)
            flood_s = sum(rush.end_s - rush.start_s for rush in rushes(moments))
            mean = busiest_hour / TEN_MIN
            print(f"{plan.stem:20} seed {seed}: {len(moments):3} {most:3} {mean:5.1f} {flood_s:6.0f}")


def _lived(plan: Path, seed: int) -> list[float]:
    """When the calls of one dinner were made, in seconds."""
    ledgers: list[Ledger] = []
    close = Ledger.close

    def kept(ledger: Ledger, at: object) -> None:
        ledgers.append(ledger)
        close(ledger, at)  # type: ignore[arg-type]  # handed on as it came

    with patch.object(Ledger, "close", kept):
        rehearse(plan, cook="human", seed=seed, ears="typed")
    return [at.s for at in ledgers[-1].calls]


if __name__ == "__main__":
    main()
