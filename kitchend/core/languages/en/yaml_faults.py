"""What is complained of where a file is no YAML, or none that a plan is, in English. Part of the sentences.

The language is then looked for in the text as it stands, for a file that is no YAML says nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

YAML_FAULTS: Mapping[str, str] = {
    "yaml.tab": "a tab where a value or key would start",
    "yaml.tab.hint": "indent with spaces, not tabs",
    "yaml.sign": "a sign that YAML keeps for itself",
    "yaml.sign.hint": "quote a value that starts with a sign",
    "yaml.colon": "a colon where no value can start",
    "yaml.colon.hint": "quote a value that has a colon in it, and line keys up",
    "yaml.no.colon": "a key without a colon",
    "yaml.no.colon.hint": "write it like `key: value`, with a space after the colon",
    "yaml.uneven": "this does not line up",
    "yaml.uneven.hint": "keys of one block start in the same column",
    "yaml.second": "a second document begins here",
    "yaml.second.hint": "one file holds one plan: take the `---` line out",
    "yaml.quote": "a quote is opened here and not closed",
    "yaml.quote.hint": "close it on the same line",
    "yaml.open": "a list or block is not closed",
    "yaml.open.hint": "a list in one line ends with ], a block with }}",
    "yaml.other": "not readable as YAML: {said}",
    "yaml.other.hint": "check the lines around it",
    "yaml.alias": "a plan has no aliases (*)",
    "yaml.alias.hint": "write the value out where it is needed",
    "yaml.tag": "a plan has no tags (!)",
    "yaml.tag.hint": "write the value without its tag",
    "yaml.values": "more than {most} values",
    "yaml.values.hint": "a plan is one dinner: split it",
    "yaml.deep": "blocks nested more than {most} deep",
    "yaml.deep.hint": "a plan needs no such depth",
    "yaml.character": "a character ({code}) that no text holds",
    "yaml.character.hint": "take it out",
    "yaml.escape": "an escape (\\) that stands for no character",
    "yaml.escape.hint": "write the letter itself",
}
"""By key; `said` is what the reader of YAML says, in English whatever the language."""
