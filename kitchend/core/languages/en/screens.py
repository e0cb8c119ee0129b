"""What `cook`, `timeline` and `rehearse` print beside the conversation, in English: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

SCREENS: Mapping[str, str] = {
    "screen.changed": "The plan's file has changed since; this dinner goes on with the plan as it was.",
    "screen.carrying": "Carrying on with {plan}.",
    "screen.planning": "Planning {plan} ...",
    "screen.note": "Note: {note}.",
    "screen.was.on": "{plan} was on until {at}.",
    "screen.lately": "lately",
    "screen.own.plan": "{was} It can be carried on with its own plan only",
    "screen.carry.on": "{was} Carry on? [Y/n] ",
    "screen.leave": "{was} Leave it and begin {plan}? [y/N] ",
    "screen.either": "{was} Cook its plan to carry on, or leave it with --afresh",
    "screen.yes": "y yes",
    "screen.begun": "{plan}: {steps}{first}, {passes}.",
    "screen.first": ", first call at {at}",
    "screen.and": "{first} and {last}",
    "screen.how": "Say it or type it; Ctrl-C stops, and the dinner is kept.",
    "screen.stopped": "Stopped; the dinner is kept. Cook the same plan to carry on.",
    "screen.stopped.lost": "Stopped, and the dinner is not kept: the disk takes nothing.",
    "screen.no.lines": "No more typed lines: calling goes on; answer with `kitchend tell`, stop with Ctrl-C.",
    "screen.long.past": "Long past the pass and nobody answers: stopped. The dinner is kept.",
    "screen.written": "Written: {path}",
    "lived.steps": "{done} of {steps} steps done.",
    "lived.calls": "Kitchend called {calls}, at most {busiest} in ten minutes.",
    "lived.once": "once",
    "lived.twice": "twice",
    "lived.times": "{n} times",
    "lived.phrase": "{n} phrase, {share} % understood as meant.",
    "lived.phrases": "{n} phrases, {share} % understood as meant.",
    "lived.misheard": '"{said}" was heard as "{text}"',
    "lived.not.taken": '"{said}" was not taken',
    "lived.more": "and {n} more",
    "lived.lost": "Lost timers: {timers}.",
    "lived.unsaid": "Done without being said: {steps}.",
    "lived.none": "none",
    "lived.nothing": "nothing",
    "lived.took": "A dinner of {lasted}, rehearsed in {took} s.",
    "lived.pass": "the pass was at {at}",
    "lived.never": "{plan} was never served; {passed}.",
    "lived.on.time": "{plan} was served on time; {passed}.",
    "lived.late": "{plan} was served {time} late; {passed}.",
    "lived.early": "{plan} was served {time} early; {passed}.",
}
"""By key; braces are filled in with names and with times as they are written."""
