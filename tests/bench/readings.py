"""What a busy probe costs: one reading every ten seconds for twelve hours, and the process that forecasts.

Readings go through the core alone, with every forecast made as it is asked for. Prints how much processor
time a reading takes, what is kept at the end, and what the planner's process holds before and after its first
forecast.

    PYTHONPATH=. python tests/bench/readings.py
"""

from __future__ import annotations

import pickle
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

from kitchend.core.clock import Now
from kitchend.core.dinner import step
from kitchend.core.effects import MakeForecast, Speak
from kitchend.core.events import Event, ForecastMade, ReadingTaken, SpeechEnded
from kitchend.core.state import DinnerState
from kitchend.service.planner import SolvingPlanner
from kitchend.service.planner_apart import PlannerApart
from tests.service.roast_at_hand import ROAST, Truth, begun, truths

HOURS, EVERY_S = 12, 10.0


def resident_mb(process: int) -> float:
    """What a process holds of its own, in MB: resident without what it shares with others."""
    fields = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="ascii").splitlines()
    private = [int(line.split()[1]) for line in fields if line.startswith(("Private_Clean", "Private_Dirty"))]
    return sum(private) / 1024


@dataclass(slots=True)
class Twelve:
    """Twelve hours of a probe, lived through the core alone."""

    state: DinnerState
    now: Now
    planner: SolvingPlanner = field(default_factory=SolvingPlanner)
    readings_ms: list[float] = field(default_factory=list)
    forecasts_ms: list[float] = field(default_factory=list)

    def live(self, truth: Truth) -> None:
        """Send every reading of a roast that is nearly there in the end."""
        stretch = 0.97 * truth.there_s / (HOURS * 3600)
        for number in range(round(HOURS * 3600 / EVERY_S)):
            self.now = self.now.after(EVERY_S)
            self._take(ReadingTaken(of="duck", celsius=truth.core_c(stretch * EVERY_S * number)))

    def _take(self, event: Event) -> None:
        began = time.process_time()
        self.state, effects = step(self.state, event, self.now)
        if isinstance(event, ReadingTaken):
            self.readings_ms.append(1000 * (time.process_time() - began))
        for effect in effects:
            if isinstance(effect, MakeForecast):
                began = time.process_time()
                made = self.planner.forecast(self.state, ROAST, self.now)
                self.forecasts_ms.append(1000 * (time.process_time() - began))
                self._take(ForecastMade(forecast=made))
            elif isinstance(effect, Speak):
                self._take(SpeechEnded(utterance=effect.utterance))


def main() -> None:
    """Print the figures."""
    truth = truths(seed=3, count=6)[1]
    with tempfile.TemporaryDirectory(prefix="kitchend-bench-") as folder:
        kitchen = begun(truth, Path(folder))
    hours = Twelve(state=kitchen.runner.state, now=kitchen.clock.now())
    hours.live(truth)
    took, forecasts = sorted(hours.readings_ms), hours.forecasts_ms
    print(f"{len(took)} readings: median {median(took):.2f} ms, 99 % {took[len(took) * 99 // 100]:.2f} ms")
    print(f"{len(forecasts)} forecasts: median {median(forecasts):.1f} ms")
    kept, whole = len(pickle.dumps(hours.state.readings)), len(pickle.dumps(hours.state))
    print(
        f"kept: {len(hours.state.readings)} readings, {kept / 1000:.0f} kB, the state {whole / 1000:.0f} kB"
    )
    apart = PlannerApart()
    apart.rest(kitchen.runner.state, hours.now)
    if apart.process is not None:
        before = resident_mb(apart.process)
        apart.forecast(hours.state, ROAST, hours.now)
        print(f"the planner's process: {before:.0f} MB, after a forecast {resident_mb(apart.process):.0f} MB")
    apart.close()


if __name__ == "__main__":
    main()
