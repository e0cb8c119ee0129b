"""What the planner assumes where a plan says nothing, each with its reason. Whole seconds.

Values only. There is no standard for any of them; they are common practice and may be overridden.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanningSettings:
    """The planner's assumptions and limits.

    `preheat_s`: a cold oven to its temperature. How-to pages agree on 10 to 15 min at 350 F and 12 to
    20 min at 400 F; no measured study was found.
    `change_s_per_10c`, `change_least_s`: an oven already hot to another temperature, up or down; a minute
    a 10 C is the same pages' 15 min over the rise from a cold kitchen.
    `linger_s`: how long an oven is taken to keep its temperature after a use.
    `heat_hands_s`: setting the dial.
    `heat_wait_s`: how long a hot oven may wait for what goes in, so that the dial fits between other work.
    `answer_s`: for the cook's words, that it is on and that it is done; kept free after hands and between a
    step and the next. With less, a dinner of many short steps is later with each of them.
    `apart_s`: calls are this far apart where that costs nothing, so that each is heard and answered in peace.
    `reminder_slack_s`: how late a mid-step reminder may come.
    `soon_s`: what is on past its time ends this soon.
    `explain_from_s`: lateness or standing below this is not worth words.
    `first_effort`, `effort`: the solver's limit for one search, planning a whole dinner and the rest of one,
    in its own deterministic units (one takes some four seconds on a desk machine), so that planning twice
    gives the same. A rest begins at the timeline before and needs little.
    `explain_effort`: for all that is tried to say why a dinner cannot be had and what would help.
    `length_effort`: the limit for the least length of a dinner without a serving time, which is worth waiting
    for: thirty steps that share four things are proved within it.
    `seconds_limit`: the limit in real seconds, only a safety net.
    `chance`: how sure a cook wants to be of the pass, 0 to 1, where the plan does not say.
    """

    preheat_s: int = 15 * 60
    change_s_per_10c: int = 60
    change_least_s: int = 3 * 60
    linger_s: int = 20 * 60
    heat_hands_s: int = 30
    heat_wait_s: int = 10 * 60
    answer_s: int = 30
    apart_s: int = 30
    reminder_slack_s: int = 3 * 60
    soon_s: int = 30
    explain_from_s: int = 60
    first_effort: float = 0.3
    effort: float = 0.01
    explain_effort: float = 1.0
    length_effort: float = 3.0
    seconds_limit: float = 7.0
    chance: float = 0.9
