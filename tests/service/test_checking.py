"""`kitchend check` by the settings: whose guidance, the caution beside it, whose hands do what next."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kitchend.core.languages import LANGUAGES
from kitchend.service.checking import check
from kitchend.service.guard import FINE

CAUTION = LANGUAGES["en"].sentences["caution.guidance"]

SHED = """\
plan: Boat shed lunch
serve: "13:00"
dishes:
  - dish: pork
    steps:
      - step: rub the pork
        hands: 5 min
        raw: pork
        keeps: 1 h
      - step: roast the pork
        hands: 1 min
        takes: 70 min
        until: 63 C inside
  - dish: salad
    steps:
      - step: dress the salad
        hands: 4 min
        keeps: 1 h
"""


def shown(plan: Path, *, as_json: bool = False) -> str:
    lines: list[str] = []
    assert check([plan], as_json=as_json, show=lines.append) == FINE
    return "\n".join(lines)


@pytest.fixture
def shed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan, and a home whose settings are the test's."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    (tmp_path / "config" / "kitchend").mkdir(parents=True)
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    return path


def guided_by(shed: Path, name: str) -> None:
    (shed.parent / "config" / "kitchend" / "settings.yaml").write_text(f"guidance: {name}\n")


def test_sixty_three_degrees_of_pork_is_doubted_by_the_uk_s_guidance_alone(shed: Path) -> None:
    # USDA FSIS: 145 F (63 C) and three minutes of rest; UK Food Standards Agency: 70 C for two minutes.
    assert "until" not in shown(shed)
    guided_by(shed, "uk-fsa")
    text = shown(shed)
    place = f"{shed}:13:16: pork.roast the pork.until: "
    assert f"{place}63 C is under the guidance of 70 C (158 F) inside for whole cuts of meat" in text
    assert text.endswith(CAUTION)


def test_the_json_keeps_its_shape_and_says_the_caution_beside_figures(shed: Path) -> None:
    assert "caution" not in json.loads(shown(shed, as_json=True))
    guided_by(shed, "uk-fsa")
    told = json.loads(shown(shed, as_json=True))
    assert set(told) == {"ok", "problems", "warnings", "caution"}
    assert told["caution"] == CAUTION
    (warning,) = told["warnings"]
    assert set(warning) == {"file", "line", "column", "field", "message", "hint"}
    assert (warning["line"], warning["column"]) == (13, 16)


def test_settings_that_cannot_be_read_leave_the_usual_guidance(shed: Path) -> None:
    guided_by(shed, "nobody's")
    assert "until" not in shown(shed)


def test_raw_hands_on_the_way_to_a_salad_are_seen_in_the_timeline(shed: Path) -> None:
    assert "washing" not in shown(shed), "the salad comes an hour after the pork went into the oven"
    straight_on = "      - step: dress the salad\n        after: [rub the pork]\n"
    text = SHED.replace("      - step: dress the salad\n", straight_on)
    roast = text.index("      - step: roast the pork")
    shed.write_text(
        text[:roast].replace("keeps: 1 h", "keeps: 0 min") + text[text.index("  - dish: salad") :]
    )
    assert "'dress the salad' follows raw pork, and no washing of hands between" in shown(shed)
