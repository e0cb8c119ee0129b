"""What came of a rehearsal, for people and for programs. Counts and words; nothing is rehearsed here.

The keys of `to_json` are relied on by other programs: more may be added, none removed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kitchend.core.clock import WallTime
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
        """A few lines for a person."""
        lines = [
            self._served_line(),
            f"{self.steps_done} of {self.steps} steps done.",
            f"Kitchend called {_times(self.calls)}, at most {_times(self.busiest)} in ten minutes.",
            f"{_counted(self.phrases)}, {100 * self.right_share:.0f} % understood as meant.",
            *self._misheard_lines(),
            f"Lost timers: {', '.join(self.lost_timers) or 'none'}.",
            f"Done without being said: {', '.join(self.unsaid) or 'nothing'}.",
            f"A dinner of {said_duration(self.lasted_s)}, rehearsed in {self.took_s:.0f} s.",
        ]
        return "\n".join(lines)

    def _misheard_lines(self) -> list[str]:
        wrong = [phrase for phrase in self.phrases if not phrase.right]
        told = [
            f'  "{p.said}" was heard as "{p.text}"' if p.text else f'  "{p.said}" was not taken'
            for p in wrong
        ]
        more = len(told) - MOST_TOLD
        return told if more <= 0 else [*told[:MOST_TOLD], f"  and {more} more"]

    def _served_line(self) -> str:
        pass_at = f"the pass was at {self.serve.time_of_day}"
        if self.served is None or self.late_by_s is None:
            return f"{self.plan} was never served; {pass_at}."
        if abs(self.late_by_s) < 60:
            return f"{self.plan} was served on time; {pass_at}."
        side = "late" if self.late_by_s > 0 else "early"
        return f"{self.plan} was served {said_duration(abs(self.late_by_s))} {side}; {pass_at}."


def _counted(phrases: tuple[PhraseScore, ...]) -> str:
    return f"{len(phrases)} phrase{'' if len(phrases) == 1 else 's'}"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
