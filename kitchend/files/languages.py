"""The language a plan or the settings name: a tag there is a folder for."""

from __future__ import annotations

from kitchend.core.languages import LANGUAGES
from kitchend.core.quantities import QuantityError


def parse_language(text: str) -> str:
    """The tag of a language from "ko" or "한국어". Raises QuantityError."""
    wanted = text.strip().casefold()
    for tag, language in LANGUAGES.items():
        if wanted in (tag, language.name.casefold()):
            return tag
    known = " or ".join(f"{tag} ({language.name})" for tag, language in LANGUAGES.items())
    raise QuantityError(f"{text.strip()} is no language kitchend has", f"say {known}")
