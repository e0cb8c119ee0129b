"""Half a "quiet", shouted over kitchend's own voice, is a "quiet" in doubt: whoever shouts is to be heard.

The rule of the ears refuses what sounds more like free talk, as a short "quiet" may. Where the best reading
of a refused phrase is that one, and the phrase was louder than what is left of the echo could be, it counts
with a doubt: it stops what is being said, which comes back as usual, and nothing else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from kitchend.core.commands import Quiet
from kitchend.hearing.barge_in import Powers, is_own_rest
from kitchend.hearing.ports import Heard, Meaningful, Sayable

LOUD: Final = 1.0
"""What is left over the whole phrase, its pauses included, is at least as much as kitchend's own voice."""


def or_loud_quiet(heard: Heard, lasted: Sequence[Powers | None], sayable: Sayable | None) -> Heard:
    """The phrase as it was heard, or the "quiet" in doubt that it was; `lasted` is its sound's powers."""
    own = [powers for powers in lasted if powers is not None]
    echo, left = sum(one.own for one in own), sum(one.left for one in own)
    if heard.accepted or not echo or left < LOUD * echo or is_own_rest(own):
        return heard
    if sayable is None or not _is_quiet(sayable, heard.text):
        return heard
    other = next((text for text in sayable.candidates() if not _is_quiet(sayable, text)), "")
    return replace(heard, accepted=True, doubts=(other,), reason="a loud quiet, half understood")


def _is_quiet(sayable: Sayable, text: str) -> bool:
    return isinstance(sayable, Meaningful) and isinstance(sayable.meaning(text), Quiet)
