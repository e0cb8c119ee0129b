"""The languages a dinner can be run in, one folder each: a new folder is a new language, no line is due here.

A language is a value of type `Language`, which the folder's `__init__` calls LANGUAGE; it says where its
parts are. Which one is spoken now is for `tongue` to say. Nothing here knows a state.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules

from kitchend.core.languages.language import Language

_FOLDERS = sorted(found.name for found in iter_modules(__path__) if found.ispkg)
_FOUND: tuple[Language, ...] = tuple(import_module(f"{__name__}.{name}").LANGUAGE for name in _FOLDERS)

LANGUAGES: Mapping[str, Language] = {one.tag: one for one in _FOUND}
"""Every language by its BCP 47 tag."""
