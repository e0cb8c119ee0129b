"""Lines for the control socket, made up for ten minutes; --minutes or KITCHEND_FUZZ_MINUTES makes it less."""

from __future__ import annotations

import sys

from tests.fuzz._fuzzing import main

if __name__ == "__main__":
    sys.exit(main("control"))
