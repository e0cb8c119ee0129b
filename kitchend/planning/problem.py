"""What there is to plan, in whole seconds from an origin: tasks, hands, equipment, hot ovens, the pass.

Data only, the same for a dinner not yet begun and for the rest of one; no solver may enter. A task that has a
`start` is a fact and is not moved; the others start now (0) or later.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitchend.core.plan import Dish, Equipment, EquipmentId, Step, StepId, Use
from kitchend.planning.settings import PlanningSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A step as the planner sees it.

    `length_s` is what it takes: the high end of a range, where `margin_lengths` did not give what is
    uncertain its own. `shift_s`, for what is on, held or up, is how much time it was given or held beyond;
    None for all else. `hands_until_s` is, for a fact, when the hands are free again. `after` are tasks of
    this problem only. `is_last` marks what is brought to the pass, and `before_pass_s` how long before the
    pass the task's dish has its own. `was_s` and `was_cook` are what the timeline before had, `was_over_s`
    how much too long its result stood there (or how much too late it reminded); None if it was over already.
    `is_over` is a fact that has ended: it takes nothing and is not planned. `is_called` is false for what
    begins by itself, such as a rest.
    """

    step: Step
    length_s: int
    hands_s: int = 0
    uses: tuple[Use, ...] = ()
    after: tuple[StepId, ...] = ()
    keeps_s: int | None = None
    is_last: bool = False
    during: StepId | None = None
    at_s: int = 0
    start_s: int | None = None
    hands_until_s: int = 0
    shift_s: int | None = None
    before_pass_s: int = 0
    was_s: int | None = None
    was_cook: int | None = None
    was_over_s: int | None = None
    is_over: bool = False
    is_called: bool = True

    @property
    def id(self) -> StepId:
        """The step's id."""
        return self.step.id

    @property
    def is_fact(self) -> bool:
        """Whether it has begun (or was called) and is not moved."""
        return self.start_s is not None

    @property
    def end_s(self) -> int:
        """When a fact ends; 0 for anything else."""
        return 0 if self.start_s is None else self.start_s + self.length_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Hot:
    """An oven that was set to a temperature: from `start_s`, there at `ready_s`, in use until `end_s`.

    `waits` marks one that was heated on purpose and waits, hot, for what goes in.
    """

    oven: EquipmentId
    celsius: float
    start_s: int
    ready_s: int
    end_s: int
    waits: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything a timeline is made from. `serve_s` None: the pass as early as it can be.

    `dishes` are the dishes by name; `used_ids` are names of heating steps that already had their call.
    `unit_s` is what its times are counted in. `is_same_pass`: the timeline before was made for this pass too.
    """

    tasks: tuple[Task, ...]
    cooks: int = 1
    equipment: tuple[Equipment, ...] = ()
    serve_s: int | None = None
    hot: tuple[Hot, ...] = ()
    dishes: tuple[Dish, ...] = ()
    used_ids: frozenset[StepId] = frozenset()
    unit_s: int = 1
    is_same_pass: bool = False
    language: str = "en"
    settings: PlanningSettings = field(default_factory=PlanningSettings)
    _by_id: Mapping[StepId, Task] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_by_id", {task.id: task for task in reversed(self.tasks)})

    @property
    def was_planned(self) -> bool:
        """Whether a timeline before had any of what is to come."""
        return any(task.was_s is not None and task.was_s >= 0 for task in self.tasks if not task.is_fact)

    @property
    def horizon_s(self) -> int:
        """A moment by which everything could be done even one thing after the other."""
        rest = sum(task.length_s + task.hands_s + self.settings.answer_s for task in self.tasks)
        ovens = self.heat_most_s * sum(use.at is not None for task in self.tasks for use in task.uses)
        marks = [0, self.serve_s or 0, *(task.end_s for task in self.tasks), *(h.ready_s for h in self.hot)]
        reminders = sum(task.at_s for task in self.tasks)
        return max(marks) + rest + ovens + reminders + 3600 // self.unit_s

    @property
    def heat_most_s(self) -> int:
        """The longest that heating one oven, or changing its temperature, can take, waiting included."""
        most = max((oven.preheat_s or 0 for oven in self.equipment), default=0)
        settings = self.settings
        return (
            max(most, settings.preheat_s, 60 * settings.change_s_per_10c // self.unit_s)
            + settings.heat_wait_s
            + settings.linger_s
        )

    def task(self, step_id: StepId) -> Task:
        """The task of a step; KeyError if there is none."""
        return self._by_id[step_id]

    def place(self, equipment_id: EquipmentId) -> Equipment:
        """The equipment with this id; one place of that name if the plan does not list it."""
        for item in self.equipment:
            if item.id == equipment_id:
                return item
        return Equipment(id=equipment_id, name=equipment_id)

    def gap_s(self, before: Task, task: Task) -> int:
        """Seconds from the end of one task to the start of the next: the cook's answer, where hands are
        needed.
        """
        needs_hands = before.hands_s > 0 or task.hands_s > 0
        return self.settings.answer_s if needs_hands and not before.is_over else 0

    def places(self, equipment_id: EquipmentId) -> int:
        """How many fit into a piece of equipment at once; at least one, whatever the plan counts."""
        return max(1, self.place(equipment_id).places)

    @property
    def pairs_of_hands(self) -> int:
        """How many cooks there are; at least one."""
        return max(1, self.cooks)

    def preheat_s(self, oven: EquipmentId) -> int:
        """Seconds for a cold oven to get hot; 0 for one that always is."""
        own = self.place(oven).preheat_s
        takes = self.settings.preheat_s if own is None else own
        return max(takes, self.settings.heat_hands_s) if takes > 0 else 0

    def change_s(self, from_c: float, to_c: float) -> int:
        """Seconds for a hot oven to get to another temperature, up or down."""
        least, rate = self.settings.change_least_s, self.settings.change_s_per_10c
        takes_s = max(least, round(abs(to_c - from_c) / 10 * rate))
        return max(-(-takes_s // self.unit_s), self.settings.heat_hands_s)


def weight_of(task: Task, problem: Problem) -> int:
    """How much a second of standing of a task's result matters, whatever its times are counted in."""
    return standing_weight(None if task.keeps_s is None else task.keeps_s * problem.unit_s)


def standing_weight(keeps_s: int | None) -> int:
    """How much a second of standing matters: 20 for what is served at once, 1 for what keeps for hours."""
    return 1 if keeps_s is None else max(1, min(20, round(7200 / (keeps_s + 360))))
