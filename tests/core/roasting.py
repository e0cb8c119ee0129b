"""An evening on which a chicken roasts for two hours and forecasts are given by hand.

`answers` are the forecasts to come, each as an outlook and minutes after six; where there are none left,
a forecast that is asked for stays open.
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from kitchend.core.effects import Effect, MakeForecast
from kitchend.core.events import ForecastMade, ReadingTaken
from kitchend.core.forecasts import Forecast, Outlook
from kitchend.core.plan import Plan, Step
from tests.core.evening import CARVE, PLAN, REST, ROAST, SIX, START, STEAM, TRIM, Evening, minutes, timeline

LONG_ROAST = replace(ROAST, takes=minutes(90, 120))
TIMES = {
    LONG_ROAST.id: (1.0, 121.0),
    REST.id: (121.0, 131.0),
    CARVE.id: (131.0, 137.0),
    TRIM.id: (100.0, 106.0),
    STEAM.id: (133.0, 137.0),
}


def plan_with(roast: Step) -> Plan:
    chicken = replace(PLAN.dishes[0], steps=(roast, REST, CARVE))
    return replace(PLAN, dishes=(chicken, PLAN.dishes[1]))


class Roasting(Evening):
    """The chicken is on from minute one."""

    def __init__(self, roast: Step = LONG_ROAST) -> None:
        self.answers: deque[Forecast] = deque()
        self.asked: list[float] = []
        times = replace(timeline(TIMES), serve=SIX + 137 * 60, ready=SIX + 137 * 60)
        super().__init__(plan=plan_with(roast), times=times)
        self.state = replace(self.state, serve=times.serve)
        self.at_minute(1)
        self.hear("chicken is in")

    def _carry_out(self, effect: Effect) -> None:
        super()._carry_out(effect)
        if isinstance(effect, MakeForecast):
            self.asked.append(round((self.now.instant - START.instant) / 60, 2))
            if self.answers:
                self._queue.append(
                    ForecastMade(forecast=replace(self.answers.popleft(), at=self.now.instant))
                )

    def expect(
        self,
        low: float,
        middle: float,
        high: float,
        pull_c: float | None = None,
        carry_c: float | None = None,
    ) -> None:
        """The next forecast: the minutes after six it gives."""
        first, likely, last = (START.after(60 * minute).instant for minute in (low, middle, high))
        self.answers.append(
            Forecast(
                step=LONG_ROAST.id,
                outlook=Outlook.RISING,
                at=START.instant,
                low=first,
                middle=likely,
                high=last,
                pull_c=pull_c,
                carry_c=carry_c,
            )
        )

    def expect_no_moment(self, outlook: Outlook) -> None:
        """The next forecast names no moment."""
        self.answers.append(Forecast(step=LONG_ROAST.id, outlook=outlook, at=START.instant))

    def probe(self, minute: float, celsius: float, of: str = "chicken") -> list[str]:
        """A reading that comes by itself; what was said of it."""
        self.at_minute(minute)
        before = len(self.said)
        self.feed(ReadingTaken(of=of, celsius=celsius))
        return self.said[before:]

    def rise(self, first: float, last: float, start_c: float = 10.0, per_min: float = 0.5) -> list[str]:
        """Readings of a probe every minute; all that was said of them and meanwhile."""
        before = len(self.said)
        minute = first
        while minute <= last:
            self.probe(minute, start_c + per_min * (minute - first))
            minute += 1.0
        return self.said[before:]
