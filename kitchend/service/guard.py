"""The one place that catches everything, so that one failing part does not end the dinner.

Errors a person can do something about become their own one line; anything else is a bug, says so in one line
and leaves its whole story in the log. Nothing is retried here.
"""

from __future__ import annotations

import logging
from collections.abc import Callable

from kitchend.errors import KitchendError
from kitchend.service.ports import Complain

log = logging.getLogger("kitchend")


def attempt(action: Callable[[], None], *, complain: Complain, doing: str) -> bool:
    """Do it; on failure complain in one line and give False. `doing` names it: "plan the rest"."""
    try:
        action()
    except Exception as error:  # noqa: BLE001 - the one broad handler: a failing part must not end a dinner
        complain(line_for(error, doing=doing))
        return False
    return True


def line_for(error: Exception, *, doing: str) -> str:
    """One line for any error; the whole story of a bug goes to the log."""
    if is_mendable(error):
        return one_line(str(error))
    log.error("bug while trying to %s", doing, exc_info=error)
    return f"this is a bug, could not {doing}: {type(error).__name__}: {one_line(str(error))}"


def is_mendable(error: Exception) -> bool:
    """Whether somebody can do something about it: a plan, a device, a file."""
    return isinstance(error, KitchendError | OSError)


def one_line(text: str) -> str:
    """The text with line breaks and runs of spaces made single spaces."""
    return " ".join(text.split())
