"""What is complained of in durations, temperatures, times and measures, in English: read, never spoken.

Examples and units are the same in every language. Part of the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

AMOUNTS: Mapping[str, str] = {
    "amount.like": "write it like {example}",
    "amount.say": "say {one} or {other}",
    "amount.empty": "there is nothing here",
    "amount.too.long": "this is too long to be one quantity",
    "amount.below": "{text} is below zero",
    "amount.below.hint": "a duration is zero or more",
    "amount.no.unit": "{text} has no unit",
    "amount.no.unit.in": "the {part} in {text} has no unit",
    "amount.ends": "{text} has more than two ends",
    "amount.backwards": "{text} runs backwards",
    "amount.backwards.hint": "give both ends a unit, the shorter one first",
    "amount.range.unit": "{low} to {high} has no unit",
    "amount.temperature": "{text} is no temperature",
    "amount.no.scale": "{text} has no scale",
    "amount.scale": "{text} is no temperature scale",
    "amount.kitchen": "{text} is no kitchen temperature",
    "amount.clock": "{text} is no time of day",
    "amount.clock.hint": "hours go from 0 to 23, minutes to 59",
    "amount.clock.write": 'write "{time}"',
    "amount.clock.like": 'write it like "19:30"',
    "amount.chance": "{text} is no chance",
    "amount.anything": "{text} could be anything",
    "amount.anything.hint": "say {text} %",
    "amount.promise": "nobody can be promised {text}",
    "amount.promise.hint": "from 50 % to 99 %, such as 90 %",
    "amount.unit": "{text} is no unit of time",
    "amount.unit.hint": "units are s, min, h, days and weeks",
    "amount.order": "the units of {text} are out of order",
    "amount.either": "{text} could be minutes or hours",
    "amount.duration": "{text} is no duration",
    "amount.iso": "{text} is no ISO 8601 duration",
    "amount.iso.hint": "write it like PT1H20M, P1DT12H or P2W; years and months have no fixed length",
    "amount.decimals": "only the last part of {text} may have decimals",
    "amount.or": "{one} or {other}",
    "amount.three": "{one}, {other} or {third}",
    "measure.piece": "{text} is no piece for one dinner",
    "measure.piece.hint": "from 20 g to 60 kg, like 2.5 kg",
    "measure.thick": "{text} is too thin or too thick",
    "measure.thick.hint": "from 5 mm to 40 cm, like 9 cm",
    "measure.shape": "{text} is no shape",
    "measure.shape.hint": "flat like a fillet, long like a rolled joint, or round like a bird",
    "measure.weight": "{text} is no weight",
    "measure.thickness": "{text} is no thickness",
    "measure.thickness.hint": "write it like 9 cm or 3.5 in, through the thickest part",
    "amount.language": "{text} is no language kitchend has",
    "amount.language.hint": "say {known}",
    "measure.weight.hint": "write it like 2.5 kg or 5 lb 8 oz",
}
"""By key; braces are filled in with what was written."""
