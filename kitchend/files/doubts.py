"""What is doubtful in a plan though it can be cooked: the few things a cook would want to be asked.

Only what the plan itself shows is judged here; whether names can be heard, whether the times fit, and what
guidance says of the food, is seen elsewhere. What depends on a value that was complained of is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from kitchend.core.papers import written_duration
from kitchend.core.plan import EquipmentId, Plan, Step, StepId
from kitchend.core.quantities import show_temperature
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, Spot
from kitchend.files.linking import Linked
from kitchend.files.names import folded

HOT_OVEN_C = 300.0
"""Home ovens end near here; a larger number is mostly Fahrenheit written as Celsius."""

BOILING_C = 100.0
"""The inside of food stays below it."""

_UNSPOKEN = re.compile(r"[^\w\s'\u2019,.-]|[\d_]")


class Doubter:
    """Looks through one plan. `linked` knows where things are written."""

    def __init__(
        self, plan: Plan, linked: Linked, complaints: Complaints, equipment: Mapping[EquipmentId, Spot]
    ) -> None:
        self._plan = plan
        self._linked = linked
        self._complaints = complaints
        self._equipment = equipment
        self._next = _followers(plan)
        self._rooms: dict[StepId, int | None] = {}

    def look(self) -> None:
        """Note every doubt."""
        steps = _first_repeats(self._plan)
        for step in steps:
            self._degrees(step)
            self._letters(step)
        if not self._complaints.has_trouble_with("until", "after", "during", "steps", "step"):
            for step in steps:
                self._early(step)
        self._shared_names(steps)
        if not self._complaints.has_trouble_with("in", "on", "steps", "dishes", "equipment"):
            self._unused()

    def _doubt(self, step: Step, key: str, message: str, hint: str) -> None:
        self._complaints.doubt(self._linked.spot(step.id, key), message, hint)

    def _degrees(self, step: Step) -> None:
        for use in step.uses:
            if use.at and use.at.celsius > HOT_OVEN_C:
                key = "in" if self._linked.written[step.id].section.has("in") else "on"
                message = clause("doubt.oven", degrees=show_temperature(use.at))
                self._doubt(step, key, message, clause("doubt.mean", degrees=f"{use.at.degrees:g}"))
        if step.until and step.until.celsius > BOILING_C:
            message = clause("doubt.core", degrees=show_temperature(step.until))
            self._doubt(step, "until", message, clause("doubt.mean", degrees=f"{step.until.degrees:g}"))

    def _letters(self, step: Step) -> None:
        found = _UNSPOKEN.search(step.name)
        if found:
            message = clause("doubt.letters", signs=found[0])
            self._doubt(step, "step", message, clause("doubt.letters.hint"))

    def _early(self, step: Step) -> None:
        early_s = step.takes.high_s - step.takes.low_s
        room_s = self._room(step.id)
        if step.during or early_s < 300 or room_s is None or room_s >= early_s:
            return
        early, room = written_duration(early_s), written_duration(room_s)
        message = clause("doubt.early", early=early, room=room)
        self._doubt(step, "takes", message, clause("doubt.early.hint"))

    def _room(self, step_id: StepId) -> int | None:
        """Seconds that may be spent standing between this step's end and the pass, None without a limit."""
        if step_id not in self._rooms:
            own = self._plan.step(step_id).keeps_s
            rooms = [self._room(one) for one in self._next.get(step_id, ())]
            limits = [room for room in rooms if room is not None]
            endless = own is None or (rooms and not limits)
            self._rooms[step_id] = None if endless else (own or 0) + min(limits, default=0)
        return self._rooms[step_id]

    def _shared_names(self, steps: list[Step]) -> None:
        owners: dict[str, Step] = {}
        for step in steps:
            other = owners.setdefault(folded(step.name), step)
            if other is not step:
                line = self._linked.spot(other.id, "step").line
                message = clause("doubt.same", line=f"{line}")
                self._doubt(step, "step", message, clause("doubt.same.hint"))

    def _unused(self) -> None:
        used = {use.equipment for step in self._plan.iter_steps() for use in step.uses}
        for item in self._plan.equipment:
            if item.id not in used:
                message = clause("doubt.unused", item=item.name)
                self._complaints.doubt(self._equipment[item.id], message, clause("doubt.unused.hint"))


def _followers(plan: Plan) -> dict[StepId, list[StepId]]:
    followers: dict[StepId, list[StepId]] = {}
    for step in plan.iter_steps():
        for before in step.after:
            followers.setdefault(before, []).append(step.id)
    return followers


def _first_repeats(plan: Plan) -> list[Step]:
    """Every step once: of a reminder that repeats, its first."""
    return [step for step in plan.iter_steps() if step.every_s is None or step.at_s == step.every_s]
