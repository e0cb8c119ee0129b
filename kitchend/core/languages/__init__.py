"""The languages a dinner can be run in, one folder each. A new one is a folder and its line here.

A language is a value of type `Language`; a folder's `__init__` says where its parts are. Which one is spoken
now is for `tongue` to say. Nothing here knows a state.
"""

from __future__ import annotations

from collections.abc import Mapping

from kitchend.core.languages.en import ENGLISH
from kitchend.core.languages.ko import KOREAN
from kitchend.core.languages.language import Language

LANGUAGES: Mapping[str, Language] = {one.tag: one for one in (ENGLISH, KOREAN)}
"""Every language by its BCP 47 tag."""
