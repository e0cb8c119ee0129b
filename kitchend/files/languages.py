"""The language a plan or the settings name: a tag there is a folder for."""

from __future__ import annotations

import re

import yaml

from kitchend.core.languages import LANGUAGES
from kitchend.core.quantities import QuantityError
from kitchend.core.tongue import DEFAULT, clause


def parse_language(text: str) -> str:
    """The tag of a language from "ko" or "한국어". Raises QuantityError."""
    wanted = text.strip().casefold()
    for tag, language in LANGUAGES.items():
        if wanted in (tag, language.name.casefold()):
            return tag
    known = " or ".join(f"{tag} ({language.name})" for tag, language in LANGUAGES.items())
    hint = clause("amount.language.hint", known=known)
    raise QuantityError(clause("amount.language", text=text.strip()), hint)


def language_of(root: yaml.Node | None) -> str:
    """The tag of the language that a file names, to complain in; English where it names none."""
    pairs = root.value if isinstance(root, yaml.MappingNode) else ()
    for key, value in pairs:
        if key.value == "language" and isinstance(value, yaml.ScalarNode):
            try:
                return parse_language(str(value.value))
            except QuantityError:
                break
    return DEFAULT


_NAMED = re.compile(r"^[ \t]*language[ \t]*:[ \t]*[\"']?([^\s\"'#]+)", re.MULTILINE)


def language_in(text: str) -> str:
    """The same, of a text that may be no YAML at all: its first line that reads like it names one."""
    found = _NAMED.search(text)
    try:
        return DEFAULT if found is None else parse_language(found[1])
    except QuantityError:
        return DEFAULT
