"""kitchend multiplies on one thread: numpy's own would spin for work that is too small to be shared."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

MULTIPLY = """
import kitchend
import os
import numpy as np
square = np.ones((1000, 1000), np.float32)
assert (square @ square)[0, 0] == 1000
print(len(os.listdir("/proc/self/task")))
"""


@pytest.mark.parametrize(("wish", "threads"), [(None, 1), ("2", 2)])
def test_products_run_on_one_thread_unless_somebody_wishes_more(wish: str | None, threads: int) -> None:
    if threads > len(os.sched_getaffinity(0)):
        pytest.skip("this machine has one core: more threads cannot be had")
    surroundings = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    if wish is not None:
        surroundings["OPENBLAS_NUM_THREADS"] = wish
    done = subprocess.run(
        [sys.executable, "-c", MULTIPLY], env=surroundings, capture_output=True, text=True, check=True
    )
    assert int(done.stdout) == threads
