"""What every test gets: folders of its own, so that none reads or changes the files of whoever runs it.

The cache stays the real one. What lies there is made from locked packages and checked when it is loaded, and
putting the second ear's weights together anew for each test would take longer than the tests.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# A small or busy machine is no failure. Everything else stays as hypothesis has it, in CI the fixed seed.
settings.register_profile(
    "unhurried", settings.default, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("unhurried")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Where tests run in several processes, those with sound stay in one: two rooms at once are late."""
    for item in items:
        if item.get_closest_marker("sound") is not None:
            item.add_marker(pytest.mark.xdist_group("sound"))


BASES = ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_RUNTIME_DIR")


@pytest.fixture(autouse=True)
def own_folders(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder that holds this test's settings, plans, journal and socket.

    Not `tmp_path`: a socket's path may have 107 bytes, and pytest's own folders carry the test's name.
    """
    with tempfile.TemporaryDirectory(prefix="kitchend-") as name:
        for base in BASES:
            folder = Path(name) / base.removeprefix("XDG_").split("_")[0].lower()
            folder.mkdir(mode=0o700)
            monkeypatch.setenv(base, str(folder))
        monkeypatch.delenv("NOTIFY_SOCKET", raising=False)
        yield Path(name)
