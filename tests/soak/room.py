"""The real `cook` process in a room full of kitchen noise: what listening costs, and whether memory grows.

Wrong is: a fifth of one core or more while there is noise only, memory that grows by 5 MB or more after it
has settled, or a process that ends. The noise is that of the folder given, or of `KITCHEND_SOUNDS`; where
neither is given it is made up.

    python tests/soak/room.py [--minutes 30] [--sounds FOLDER]
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from kitchend.rehearsal.room import Room, RoomUnavailable
from tests.cli.long_evening import Evening, live
from tests.room.kitchen_noise import kitchen_noise

SPELL_S = 30.0
TYPES_EVERY = 4
SETTLED_S = 150.0
"""By then the ears are loaded, the first answers made, and the planner has gone to rest."""
SHARE, GROWTH_MB = 0.20, 5.0


def tell(evening: Evening) -> None:
    """A line every few minutes."""
    if len(evening.spells) % 6 == 0:
        last, minutes = evening.spells[-1], len(evening.spells) * SPELL_S / 60
        share, held, planning = last.cpu_s / last.seconds, last.at_end.resident_mb, last.at_end.children_mb
        print(
            f"{minutes:5.1f} min  {share:.1%} of a core just now  {held:.1f} MB + {planning:.0f} planning",
            flush=True,
        )


def main() -> int:
    """Live through it and print the figures; 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--sounds", type=Path, default=os.environ.get("KITCHEND_SOUNDS"))
    asked = parser.parse_args()
    folder = None if asked.sounds is None else Path(asked.sounds)
    spells, settled = round(asked.minutes * 60 / SPELL_S), round(SETTLED_S / SPELL_S)
    if spells <= settled:
        parser.error(f"--minutes has to be more than {SETTLED_S / 60:g}")
    evening = Evening()
    try:
        with Room() as room, tempfile.TemporaryDirectory(prefix="kitchend-evening-") as own:
            os.environ.update({"XDG_CONFIG_HOME": own, "XDG_STATE_HOME": own, "XDG_RUNTIME_DIR": own})
            os.environ.update(room.environment)
            noise = kitchen_noise(folder)
            for evening in live(
                room, Path(own), noise, spells=spells, spell_s=SPELL_S, types_every=TYPES_EVERY
            ):
                tell(evening)
    except RoomUnavailable as error:
        print(f"NOTHING WAS MEASURED: {error}")
        return 1
    share, growth_mb = evening.quiet_share, evening.growth_mb(settled)
    print(f"{asked.minutes:g} min of {'made-up' if folder is None else 'recorded'} noise", end=": ")
    print(f"{share:.1%} of one core while there was noise only (claimed: under {SHARE:.0%})", end=", ")
    print(f"memory grew by {growth_mb:.1f} MB (claimed: under {GROWTH_MB:g})", end=", ")
    print(f"{len(evening.heard)} phrases heard in it {evening.heard}")
    return 0 if share < SHARE and growth_mb < GROWTH_MB else 1


if __name__ == "__main__":
    sys.exit(main())
