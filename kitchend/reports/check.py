"""What `kitchend check` shows of one or more plan files: lines for people, a dict for `--json`.

Further warnings, such as names the listener cannot hear, come from whoever found them and are put beside the
reader's own. The keys of the JSON are relied on by other programs: more may be added, none taken away.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict

from kitchend.core.papers import counted
from kitchend.core.tongue import DEFAULT, speaking
from kitchend.core.wording import clause
from kitchend.errors import Problem
from kitchend.files.plan_yaml import Checked


def check_json(
    checked: Sequence[Checked], further: Iterable[Problem] = (), caution: str = ""
) -> dict[str, object]:
    """All files in one: {"ok", "problems", "warnings"}; "ok" is false if any file has a problem.

    "caution" is there where a warning has a figure of food safety.
    """
    return {
        "ok": all(one.is_ok for one in checked),
        "problems": [asdict(problem) for one in checked for problem in one.problems],
        "warnings": [asdict(warning) for warning in _warnings(checked, further)],
        **({"caution": caution} if caution else {}),
    }


def check_text(checked: Sequence[Checked], further: Iterable[Problem] = (), caution: str = "") -> str:
    """A line a file, its problems and doubts below it, each as FILE:LINE:COLUMN: FIELD: message (hint).

    A caution, if any, stands below them all.
    """
    more = list(further)
    lines = [line for one in checked for line in _lines(one, more)]
    return "\n".join([*lines, caution] if caution else lines)


def caution_for(checked: Sequence[Checked]) -> str:
    """The caution beside figures of food safety, once in each language of the plans."""
    tags = dict.fromkeys(one.plan.language for one in checked if one.plan is not None)
    found = []
    for tag in tags:
        with speaking(tag):
            found.append(clause("caution.guidance"))
    return " ".join(found)


def _warnings(checked: Sequence[Checked], further: Iterable[Problem]) -> list[Problem]:
    own = [warning for one in checked for warning in one.warnings]
    return list(dict.fromkeys([*own, *further]))


def _lines(one: Checked, further: Iterable[Problem]) -> list[str]:
    doubts = _warnings([one], (warning for warning in further if warning.file == one.file))
    with speaking(DEFAULT if one.plan is None else one.plan.language):
        return [
            f"{one.file}: {_summary(one, len(doubts))}",
            *(f"  {clause('check.wrong')}: {problem}" for problem in one.problems),
            *(f"  {clause('check.doubtful')}: {doubt}" for doubt in doubts),
        ]


def _summary(one: Checked, doubts: int) -> str:
    found = ", ".join(
        _counted(count, word) for count, word in ((len(one.problems), "problem"), (doubts, "doubt")) if count
    )
    if one.plan is None:
        return found
    names = {(step.dish, step.name) for step in one.plan.iter_steps()}
    size = f"{_counted(len(one.plan.dishes), 'dish')}, {_counted(len(names), 'step')}"
    return f"{one.plan.name}, {size}: {found or clause('check.fine')}"


def _counted(count: int, word: str) -> str:
    return counted(count, f"check.{word}", f"check.{word}{'es' if word == 'dish' else 's'}")
