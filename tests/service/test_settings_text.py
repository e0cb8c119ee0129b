"""The settings file of an installation: every setting stands there, and it changes nothing as it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kitchend.service.settings import KEYS, Settings, read_settings
from kitchend.service.settings_text import ABOUT, settings_text


def test_every_setting_is_explained_and_none_that_is_not() -> None:
    assert tuple(sorted(ABOUT)) == tuple(sorted(KEYS))
    assert re.findall(r"(?m)^#([a-z_]+): ", settings_text()) == list(KEYS)


@pytest.mark.parametrize("sign", ["#", ""], ids=["as it is", "every setting uncommented"])
def test_the_file_says_what_holds_without_it(tmp_path: Path, sign: str) -> None:
    path = tmp_path / "settings.yaml"
    path.write_text(re.sub(r"(?m)^#(?=[a-z_]+: )", sign, settings_text()))
    assert read_settings(path) == Settings()
