"""A made-up dinner's grammar for the tests: greens, rice and a chicken, written as plain JSGF.

Everything a Sayable offers is worked out from the one grammar text, so the fake cannot accept what the
grammar does not hold. It knows no plan, no state and no clock.
"""

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

_RULE = re.compile(r"(?:public\s+)?<(\w+)>\s*=\s*([^;]*);")
_TOKEN = re.compile(r"<\w+>|[a-z']+|[\[\]()|]")

DINNER = """#JSGF V1.0;
grammar dinner;
<unit> = one | two | three | four | five | six | seven | eight | nine;
<teen> = ten | eleven | twelve | thirteen | fourteen | fifteen | sixteen | seventeen | eighteen | nineteen;
<ten> = twenty | thirty | forty | fifty | sixty | seventy | eighty | ninety;
<number> = <unit> | <teen> | <ten> [<unit>];
<minutes> = one minute | <number> minutes;
<reading> = <ten> [<unit>];
<clock> = (half past | quarter past | quarter to) <hour> | <hour> [fifteen | thirty | forty five];
<hour> = six | seven | eight;
<one> = rice | chicken;
<dish> = <one> | greens;
<step> = (steam | trim) the greens | (rinse | fluff) the rice
       | (season | roast | baste | rest | carve) the chicken;
<state> = greens are (on | in | done | ready) | <one> is (on | in | done | ready);
<past> = chicken (basted | rested | carved | seasoned) | greens (trimmed | steamed) | rice (rinsed | fluffed);
<ask> = how long on the <dish> | how long is left | what's next | what's on | when do we eat | are we on time
      | say again;
<give> = (<minutes> | <number> more minutes | one more minute) on the <dish>;
<more> = <number> more minutes on the <dish>;
<less> = take <minutes> off the <dish>;
<stop> = (hold | drop | carry on with) the <dish>;
<timer> = time the (eggs | bread) for <minutes> | remind me in <minutes> to (turn the bread | check the oven);
<report> = the chicken is at <reading> | oven reads (one | two) (<ten> | hundred);
<pass> = serve at <clock> | serve <minutes> later | serve <minutes> earlier;
<answer> = yes | no | heard | undo that | quiet | the first one | the second one | carry on;
public <command> = [hey kitchen] (<step> [done] | [the] <state> | <past> | <ask> | <give> | <less> | <stop>
      | <timer> | <report> | <pass> | <answer> | cook the courtyard supper for <clock>);
"""


def rules(jsgf: str) -> dict[str, str]:
    return dict(_RULE.findall(jsgf))


def pattern(jsgf: str, rule: str) -> str:
    """The JSGF rule as a regular expression over words that each end in one space."""
    known = rules(jsgf)
    out: list[str] = []
    for token in _TOKEN.findall(known[rule]):
        if token.startswith("<"):
            out.append("(?:" + pattern(jsgf, token[1:-1]) + ")")
        else:
            out.append({"[": "(?:", "]": ")?", "(": "(?:", ")": ")", "|": "|"}.get(token, token + " "))
    return "".join(out)


@dataclass(frozen=True)
class JsgfSayable:
    """A Sayable over a JSGF text; `public` names its public rule."""

    text: str
    likely: tuple[str, ...]
    public: str = "command"

    @cached_property
    def _expression(self) -> re.Pattern[str]:
        return re.compile(pattern(self.text, self.public))

    def jsgf(self) -> str:
        return self.text

    def candidates(self) -> tuple[str, ...]:
        return self.likely

    def words(self) -> frozenset[str]:
        bodies = " ".join(rules(self.text).values())
        return frozenset(token for token in _TOKEN.findall(bodies) if token[0].isalpha())

    def phrases(self) -> tuple[str, ...]:
        return tuple(sorted(self.words()))

    def accepts(self, text: str) -> bool:
        return self._expression.fullmatch(" ".join(text.split()) + " ") is not None


def _likely() -> tuple[str, ...]:
    dishes = ("greens", "rice", "chicken")
    commands = ["yes", "no", "heard", "undo that", "quiet", "what's next", "what's on", "when do we eat"]
    commands += [
        "are we on time",
        "say again",
        "the first one",
        "the second one",
        "carry on",
        "how long is left",
    ]
    steps = ("steam the greens", "trim the greens", "rinse the rice", "fluff the rice", "season the chicken",
             "roast the chicken", "baste the chicken", "rest the chicken", "carve the chicken")  # fmt: skip
    commands += [*steps, *(f"{step} done" for step in steps)]
    commands += ["chicken basted", "chicken rested", "chicken carved", "greens trimmed", "greens steamed"]
    for dish in dishes:
        is_ = "are" if dish == "greens" else "is"
        commands += [f"{dish} {is_} {state}" for state in ("on", "in", "done", "ready")]
        commands += [
            f"how long on the {dish}",
            f"hold the {dish}",
            f"drop the {dish}",
            f"carry on with the {dish}",
        ]
        commands += [f"{n} more minutes on the {dish}" for n in ("two", "five", "ten", "fifteen")]
        commands += [f"take {n} minutes off the {dish}" for n in ("two", "five")]
    commands += [
        f"the chicken is at {n}" for n in ("fifty five", "sixty", "sixty two", "seventy", "seventy four")
    ]
    commands += ["oven reads one ninety", "oven reads two hundred"]
    commands += ["serve at half past seven", "serve at seven thirty", "serve at quarter to eight"]
    commands += [
        f"serve {n} minutes {way}" for n in ("five", "ten", "fifteen") for way in ("later", "earlier")
    ]
    commands += [f"time the eggs for {n} minutes" for n in ("four", "nine")]
    commands += [
        "remind me in ten minutes to turn the bread",
        "cook the courtyard supper for half past seven",
    ]
    return tuple(commands)


def dinner() -> JsgfSayable:
    """About a hundred likely commands over a grammar of a few thousand."""
    return JsgfSayable(text=DINNER, likely=_likely())


def from_file(path: Path, public: str, likely: tuple[str, ...] = ()) -> JsgfSayable:
    """A Sayable over somebody else's JSGF file."""
    text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    return JsgfSayable(text=text, likely=likely, public=public)
