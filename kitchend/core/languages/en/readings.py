"""What is said about readings and forecasts, in English: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

READINGS: Mapping[str, str] = {
    "until.inside": ", until {target} inside",
    "until.table": ", for {target} at the table",
    "left.until.table": "{thing}: {time}, for {target} at the table.",
    "reading.soon": "{degrees}: {rest} to go. Too soon to say when.",
    "reading.above": "{degrees}: {rest} to go down.",
    "reading.off": "{degrees}, take it off: resting does the rest. Up: {step}.",
    "reading.up": "{thing} at {degrees}, that is it. Up: {step}.",
    "reading.up.off": "{thing} at {degrees}, take it off: resting does the rest. Up: {step}.",
    "reading.cannot": "{thing} at {degrees} cannot be; I leave it out. Look again.",
    "forecast": "{degrees} now. I expect {target} at {when}, give or take {spread}.",
    "forecast.off": "{degrees} now. Off at {pull}: I expect that at {when}, give or take {spread}.",
    "forecast.told": "{thing} at {degrees}. I expect {target} at {when}, give or take {spread}.",
    "forecast.off.told": (
        "{thing} at {degrees}. Off at {pull}: I expect that at {when}, give or take {spread}."
    ),
    "plateau": (
        "{thing} at {degrees} and staying there, as large cuts do. Wrapping it tight, or more heat, usually "
        "helps. I name no time until it rises again."
    ),
    "plateau.still": "{degrees}, still staying there. I name no time until it rises again.",
    "out.of.reach": "{thing} at {degrees}: in this heat it does not get to {target}.",
    "left.forecast": "{thing}: {time}. I expect {target} at {when}, give or take {spread}.",
    "left.forecast.off": "{thing}: {time}. Off at {pull}: I expect that at {when}, give or take {spread}.",
    "left.plateau": "{thing} at {degrees} and staying there. I name no time until it rises again.",
    "probe.silent": (
        "The thermometer in the {thing} has said nothing for {time}. Look at it, or tell me what you read."
    ),
    "probe.back": "The thermometer in the {thing} is back: {degrees}.",
    "left.out.of.reach": "{thing} at {degrees}: in this heat it does not get to {target}.",
}
