"""How thickly calls fall at the demo dinners with a human-like cook, whose words arrive as they are.

Prints; asserts nothing. To hold the figures against: five calls in ten minutes are likely excessive, more
than ten a flood (EEMUA 191 and ISA-18.2, as given in Chemical Processing, 6 December 2011). How late the pass
was stands beside them, because calls that wait cost time.

    python -m tests.bench.floods [--seeds 5] [--from 1] [--show]
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from statistics import mean
from unittest.mock import patch

from kitchend.core.effects import CallKind, Speak
from kitchend.core.floods import busiest, rushes
from kitchend.rehearsal.ledger import Ledger
from kitchend.rehearsal.rehearsing import rehearse
from kitchend.service.runner import Stepped

PLANS = Path(__file__).parents[2] / "plans"
HOUR_S, TEN_MIN_S = 3600.0, 600.0


@dataclass(kw_only=True)
class Lived:
    """One dinner: what was called and when, in seconds, and how late the pass was."""

    name: str
    calls: list[tuple[float, CallKind, str]] = field(default_factory=list)
    late_s: float = 0.0

    @property
    def moments(self) -> list[float]:
        """When calls were made."""
        return [at for at, _, _ in self.calls]

    @property
    def most(self) -> int:
        """The most calls in any ten minutes."""
        return busiest(self.moments)

    @property
    def busy_mean(self) -> float:
        """The mean number of calls in ten minutes of the busiest hour."""
        moments = self.moments
        most = max(sum(0 <= at - first < HOUR_S for at in moments) for first in moments)
        return most / (HOUR_S / TEN_MIN_S)

    @property
    def flood_s(self) -> float:
        """Time in flood."""
        return sum(rush.end_s - rush.start_s for rush in rushes(self.moments))

    def thickest(self) -> Iterator[str]:
        """The calls of the busiest ten minutes, a line each."""
        moments = self.moments
        end = max(moments, key=lambda last: sum(0 <= last - at < TEN_MIN_S for at in moments))
        for at, kind, text in self.calls:
            if 0 <= end - at < TEN_MIN_S:
                yield f"        {at - end:6.0f} s  {kind.value:8} {text}"


def main() -> None:
    """A line a dinner, then all of them together."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--from", type=int, default=1, dest="first")
    parser.add_argument("--show", action="store_true", help="what was called in the busiest ten minutes")
    asked = parser.parse_args()
    dinners: list[Lived] = []
    print("calls, most in ten minutes, mean in ten minutes of the busiest hour, seconds in flood, late")
    for plan in sorted(PLANS.rglob("*.yaml")):
        for seed in range(asked.first, asked.first + asked.seeds):
            one = _lived(plan, seed)
            dinners.append(one)
            print(
                f"{one.name:28} {len(one.calls):3} {one.most:3} {one.busy_mean:5.1f} "
                f"{one.flood_s:6.0f} {one.late_s:6.0f} s",
                *(one.thickest() if asked.show else ()),
                sep="\n",
                flush=True,
            )
    print(
        f"{len(dinners)} dinners: busiest hour {mean(one.busy_mean for one in dinners):.2f} in ten minutes, "
        f"most {max(one.most for one in dinners)}, "
        f"in flood {sum(one.flood_s for one in dinners):.0f} s, "
        f"late {mean(one.late_s for one in dinners):.0f} s in the mean, "
        f"{mean(len(one.calls) for one in dinners):.0f} calls a dinner"
    )


def _lived(plan: Path, seed: int) -> Lived:
    """One dinner, watched as the ledger watches it."""
    lived = Lived(name=f"{plan.stem} seed {seed}")
    watch = Ledger.watch

    def watched(ledger: Ledger, stepped: Stepped) -> None:
        watch(ledger, stepped)
        lived.calls += [
            (stepped.now.instant.s, effect.kind, effect.text)
            for effect in stepped.effects
            if isinstance(effect, Speak) and effect.kind is not CallKind.REPLY
        ]

    with patch.object(Ledger, "watch", watched):
        score = rehearse(plan, cook="human", seed=seed, ears="typed")
    lived.late_s = score.late_by_s or 0.0
    return lived


if __name__ == "__main__":
    main()
