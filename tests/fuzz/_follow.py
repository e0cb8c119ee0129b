"""Runs one target under atheris; started by `_fuzzing`, with the target's name and libFuzzer's options."""

from __future__ import annotations

import sys

import atheris

with atheris.instrument_imports(
    include=["kitchend.files", "kitchend.service.settings", "kitchend.service.control"]
):
    import kitchend.files.plan_yaml
    import kitchend.service.control
    import kitchend.service.settings  # noqa: F401 - imported here to be followed

from tests.fuzz._fuzzing import TARGETS

if __name__ == "__main__":
    name = sys.argv.pop(1)
    atheris.Setup(sys.argv, TARGETS[name][0])
    atheris.Fuzz()
