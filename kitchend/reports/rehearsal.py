"""What came of a rehearsal, for people and for programs. Counts and words; nothing is rehearsed here.

The keys of `to_json` are relied on by other programs: more may be added, none removed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kitchend.core.clock import WallTime
from kitchend.core.tongue import DEFAULT, clause, speaking
from kitchend.core.wording import said_duration

MOST_TOLD = 12
"""How many misheard phrases a summary shows; the JSON has them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhraseScore:
    """One phrase of the cook's: the words said, what arrived, what it was taken for, whether rightly."""

    said: str
    text: str
    intent: str | None
    right: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsal:
    """What came of a rehearsal.

    `serve` is the pass as it stood at the end, `served` when all was at the table (None: never), `late_by_s`
    the difference, below zero when early. `calls` counts what kitchend said of its own accord, `busiest` the
    most of it within ten minutes. `unsaid` are moves of a step that the cook never spoke of; `took_s` is real
    time.
    """

    plan: str
    cook: str
    seed: int
    ears: str
    serve: WallTime
    served: WallTime | None
    late_by_s: int | None
    steps_done: int
    steps: int
    calls: int
    busiest: int
    replies: int
    phrases: tuple[PhraseScore, ...]
    lost_timers: tuple[str, ...]
    unsaid: tuple[str, ...]
    lasted_s: float
    took_s: float
    language: str = DEFAULT

    @property
    def is_good(self) -> bool:
        """Whether everything was done, nothing was lost, and nothing happened that was not said."""
        return (
            self.steps_done == self.steps
            and not self.lost_timers
            and not self.unsaid
            and self.served is not None
        )

    @property
    def right_share(self) -> float:
        """The share of phrases that were rightly understood; 1 when nothing was said."""
        return sum(phrase.right for phrase in self.phrases) / len(self.phrases) if self.phrases else 1.0

    def to_json(self) -> dict[str, Any]:
        """The shape that other programs read."""
        return {
            "plan": self.plan,
            "cook": self.cook,
            "seed": self.seed,
            "ears": self.ears,
            "serve": self.serve.isoformat(),
            "served": None if self.served is None else self.served.isoformat(),
            "late_by_s": self.late_by_s,
            "steps_done": self.steps_done,
            "steps": self.steps,
            "calls": self.calls,
            "busiest_calls_in_10_min": self.busiest,
            "replies": self.replies,
            "phrases": [
                {"said": p.said, "text": p.text, "intent": p.intent, "right": p.right} for p in self.phrases
            ],
            "right_share": round(self.right_share, 4),
            "lost_timers": list(self.lost_timers),
            "unsaid": list(self.unsaid),
            "lasted_s": round(self.lasted_s, 1),
            "took_s": round(self.took_s, 2),
        }

    def summary(self) -> str:
        """A few lines for a person, in the dinner's language."""
        with speaking(self.language):
            return "\n".join(self._lines())

    def _lines(self) -> list[str]:
        calls, busiest = _times(self.calls), _times(self.busiest)
        phrases = "lived.phrase" if len(self.phrases) == 1 else "lived.phrases"
        share, lasted = f"{100 * self.right_share:.0f}", said_duration(self.lasted_s)
        return [
            self._served_line(),
            clause("lived.steps", done=f"{self.steps_done}", steps=f"{self.steps}"),
            clause("lived.calls", calls=calls, busiest=busiest),
            clause(phrases, n=f"{len(self.phrases)}", share=share),
            *self._misheard_lines(),
            clause("lived.lost", timers=", ".join(self.lost_timers) or clause("lived.none")),
            clause("lived.unsaid", steps=", ".join(self.unsaid) or clause("lived.nothing")),
            clause("lived.took", lasted=lasted, took=f"{self.took_s:.0f}"),
        ]

    def _misheard_lines(self) -> list[str]:
        wrong = [phrase for phrase in self.phrases if not phrase.right]
        told = [
            f"  {clause('lived.misheard' if p.text else 'lived.not.taken', said=p.said, text=p.text)}"
            for p in wrong
        ]
        more = len(told) - MOST_TOLD
        return told if more <= 0 else [*told[:MOST_TOLD], f"  {clause('lived.more', n=f'{more}')}"]

    def _served_line(self) -> str:
        passed = clause("lived.pass", at=f"{self.serve.time_of_day}")
        if self.served is None or self.late_by_s is None:
            return clause("lived.never", plan=self.plan, passed=passed)
        if abs(self.late_by_s) < 60:
            return clause("lived.on.time", plan=self.plan, passed=passed)
        key, time = (
            ("lived.late" if self.late_by_s > 0 else "lived.early"),
            said_duration(abs(self.late_by_s)),
        )
        return clause(key, plan=self.plan, time=time, passed=passed)


def _times(count: int) -> str:
    return clause({1: "lived.once", 2: "lived.twice"}.get(count, "lived.times"), n=f"{count}")
