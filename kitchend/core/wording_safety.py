"""What is said for the cook's own safety: guidance with its source's name, never a promise. English.

Part of the table in `wording`; another language brings the same keys.
"""

from __future__ import annotations

from collections.abc import Mapping

SAFETY: Mapping[str, str] = {
    "below.target?": "The {thing} read {degrees}, and {target} is the target. {what} anyway?",
    "below.guidance?": "The {thing} read {degrees}. {source} gives {least} for {kind}. {what} anyway?",
    "below.both?": (
        "The {thing} read {degrees}. {target} is the target, and {source} gives {least} for {kind}. "
        "{what} anyway?"
    ),
    "below.done": "done",
    "stood": "Careful: the {thing} has been out for {time}. {source} says {limit} at most.",
    "hands": "Careful: wash your hands, then {step}. Raw {raw}.",
}
