"""What `kitchend check` doubts in a plan, and what guidance says of it, in English: read, never spoken.

Names of keys stand in backticks or are filled in, for they are the same in every
language. Part of the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

_SOURCES = (
    "FDA Food Code",
    "FDA Food Code 3-401.11(A)(1); roasts by the table of (B)(2)",
    "USDA FSIS safe minimum internal temperature chart, April 2025",
    "UK Food Standards Agency, core time and temperature",
    "UK Food Standards Agency, equivalents of 70 C for 2 minutes",
    "ACMSF, safe cooking of burgers, 2007",
    "USDA two-hour rule",
    "USDA: keep hot food at 140 F or more, cold food at 40 F or less",
    "USDA: wash hands after raw meat",
    "Food Hygiene (Scotland) Regulations 2006 Sch. 4, as taught",
    "Food Hygiene (Wales) Regulations 2006 Sch. 4 para. 6; 8 C as taught with the UK rules",
)
"""Publications by the names that the rules give them; of an article the code alone."""

CHECKS: Mapping[str, str] = {
    "caution.guidance": "Guidance, not a guarantee. Local rules win.",
    "doubt.mean": "did you mean {degrees} F?",
    "doubt.oven": "{degrees} is hotter than most ovens go",
    "doubt.core": "food does not reach {degrees} inside",
    "doubt.letters": "{signs} in a name is hard to say and to hear",
    "doubt.letters.hint": "spell numbers and signs out as words",
    "doubt.early": "may be ready {early} before its latest, but may stand only {room} from there to the pass",
    "doubt.early.hint": "give it or what follows a longer `keeps`",
    "doubt.same": "the step on line {line} has the same name, so saying it is not clear",
    "doubt.same.hint": "name the dish in it",
    "doubt.unused": "no step uses the {item}",
    "doubt.unused.hint": "take it out, or say in: or on: it",
    "doubt.say": "{word} is in no name of this plan, so it is never said",
    "doubt.say.hint": "name it as the plan does, or leave it out",
    "doubt.flood": "between {start} and {end} it calls up to {most} times in ten minutes, a flood",
    "doubt.flood.keeps": "say how long things keep (`keeps:`), so that some can be done earlier",
    "doubt.flood.join": "make one step of '{one}' and '{other}'",
    "doubt.sound.no": "cannot tell how the names sound: {why}",
    "doubt.word": "the listener does not know the word '{word}'; {instead}",
    "doubt.word.phones": "it will listen for {phones}",
    "doubt.word.deaf": "it cannot hear it",
    "doubt.word.hint": "if it is not heard, give it an easier name under `also:`{such}",
    "doubt.alike": "'{one}' and '{other}' sound alike, and mean different things",
    "doubt.alike.hint": "give one of them another name under `also:`{such} and say that",
    "doubt.such": ", such as '{name}'",
    "doubt.indoors": "a fire of charcoal or gas indoors?",
    "doubt.carbon": "carbon monoxide has no smell and kills: burn it in the open air only",
    "doubt.charcoal": "charcoal burns here, and nothing says that it is outdoors",
    "doubt.charcoal.hint": "{caution}; say so in `look for`",
    "doubt.hands": "'{step}' follows raw {raw}, and no washing of hands between",
    "doubt.hands.hint": "put in a step, wash the hands, that takes a minute; {source}",
    "doubt.local": "local rules come first; say more if you know better",
    "doubt.under": "{degrees} is under the guidance of {least}, {source}",
    "doubt.worth": "held there for {needed} it is worth as much, {source}; local rules come first",
    "doubt.worth.held": "held there for {needed} (here {held}) it is worth as much, {source}; "
    "local rules come first",
    "doubt.unmeasured": "raw {raw}, and no later step ends by a reading",
    "doubt.until": "guidance is until: {least}; {source}",
    "doubt.holding": "{degrees} C does not keep food hot; guidance is {least}, {source}",
    "doubt.holding.hint": "keep it hotter, or serve it; local rules come first",
    "doubt.cooling": "may take {time} to cool to {degrees}; guidance is {limit} at most, {source}",
    "doubt.cooling.hint": "cool it in shallow dishes, or on ice; local rules come first",
    "doubt.reheats": "reheats, and no reading ends it",
    "doubt.reheating": "may reheat for {time}; guidance is {limit} at most, {source}",
    "doubt.reheating.hint": "heat it faster; local rules come first",
    "beside.packed.ham": "a cooked ham that an inspected plant packed needs {degrees}, {source}; "
    "local rules come first",
    "beside.packed": "what a plant cooked and packed needs {degrees}, {source}; local rules come first",
    "beside.scotland": "in Scotland {degrees}, {source}; local rules come first",
    "doubt.roast.oven": "{degrees} is cooler than the guidance of {least} for a roast that ends at "
    "{until}, {source}",
    "doubt.roast.oven.hint": "a moist oven may be at {moist} or less; local rules come first",
    "doubt.roast.oven.small": "{still} in an oven without a fan; a moist one may be at {moist} or less; "
    "local rules come first",
    "doubt.out.marked": "marked with when it is thrown away it may be out for {time}, cold food at "
    "{cold} or less for {longer}, {source}",
    "doubt.out": "may be out for {time}; guidance is {limit} at most, {source}",
    "doubt.out.day": "may be out all day; guidance is {limit} at most, {source}",
    "doubt.out.warm": "may be out for {time}; guidance is {limit} at most above {warm}, {source}",
    "doubt.out.warm.day": "may be out all day; guidance is {limit} at most above {warm}, {source}",
    "doubt.out.hint": "keep it at {hot} or above, or chill it and reheat; local rules come first",
    "least": "{degrees} inside for {kind}",
    "least.rest": "{degrees} inside for {kind}, then {time} of rest",
    "least.kept": "{degrees} inside for {kind}, kept for {time}",
    **{f"cite.{source}": source for source in _SOURCES},
}
"""By key; braces are filled in with names and with times as they are written."""
