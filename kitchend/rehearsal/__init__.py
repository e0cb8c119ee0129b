"""Living through a dinner without a cook: a made-up cook, a voice to speak with, the room it is heard in.

`rehearse` is the way in. What kitchend does in a rehearsal is what it does in a dinner: the same runner, core
and listener; only time is made up, and the cook.
"""

from kitchend.rehearsal.rehearsing import RehearsalError, rehearse

__all__ = ["RehearsalError", "rehearse"]
