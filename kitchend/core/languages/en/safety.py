"""What is said for the cook's own safety: guidance with its source's name, never a promise. English.

Part of the sentences.
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
    "source.the USDA": "the USDA",
    "source.the Food Code": "the Food Code",
    "source.the Food Standards Agency": "the Food Standards Agency",
    "kind.poultry": "poultry",
    "kind.minced meat": "minced meat",
    "kind.stuffed food": "stuffed food",
    "kind.fresh ham": "fresh ham",
    "kind.whole cuts of meat": "whole cuts of meat",
    "kind.fish and shellfish": "fish and shellfish",
    "kind.egg dishes": "egg dishes",
    "kind.leftovers": "leftovers",
    "stood": "Careful: the {thing}, out for {time}. {source} says {limit} at most.",
    "hands": "Careful: wash your hands, then {step}. Raw {raw}.",
    "kept": "Careful: the {thing} reads {degrees} where it is kept hot. {source} says {least} or more.",
    "cooling.soon": (
        "Careful: the {thing} read {degrees}. {source} says {aim} within {limit} of leaving the heat: "
        "{left} to go."
    ),
    "cooling.late": (
        "Careful: the {thing} was not read at {aim} within {limit} of leaving the heat. {source} says reheat "
        "it or throw it away."
    ),
    "cooling.late.total": (
        "Careful: the {thing} was not read at {aim} within {limit} of leaving the heat. {source} says throw "
        "it away."
    ),
    "reheating": "Careful: the {thing} has been reheating for {time}. {source} says {least} within {limit}.",
}
