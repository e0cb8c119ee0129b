"""A language is one folder and one line in the tests: put into a copy of the house, it is spoken and heard.

The folder is English with some words changed, letters beyond a to z among them. What would have to be mended
elsewhere for a third language, fails here.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kitchend.core.languages import LANGUAGES

HOUSE = Path(__file__).resolve().parents[2]
TAG = "xq"
CHANGED = {
    "five": "fîve",
    "forty": "förty",
    "hey kitchen": "höi küchen",
    "how long": "hôw löng",
    "basted": "bæsted",
    "twenty": "twénty",
}
"""Words of English and what this language has for them."""

OWN = {
    "languages.en": f"languages.{TAG}",
    'tag="en"': f'tag="{TAG}"',
    "import PLAIN": "import SIGNS",
    "LETTERS = PLAIN": "LETTERS = SIGNS",
    "[a-z][a-z']*": r"[^\W\d_]['\w]*",
}
"""What is written otherwise in its folder: its name, and that letters have marks."""

PLAN = """
plan: Evening at the mill
language: xq
serve: "19:00"
equipment:
  hob: {rings: 2}
dishes:
  - dish: crêpes
    steps:
      - step: whisk the crêpes
        hands: 5 min
        keeps: 20 min
      - step: bake the crêpes
        hands: 2 min
        takes: 12 min
        on: hob
        keeps: 5 min
"""

REHEARSED = f"""
from pathlib import Path
from kitchend.rehearsal.rehearsing import rehearse

print(rehearse(Path("plans/{TAG}/mill.yaml"), cook="steady", seed=1, ears="typed", on_line=print).summary())
"""


def changed(text: str) -> str:
    """English words as this language has them."""
    for word, other in CHANGED.items():
        text = re.sub(rf"\b{word}\b", other, text)
    return text


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the house with one more folder, and one more line in the tests of languages."""
    copy = tmp_path_factory.mktemp("house")
    for part in ("kitchend", "plans"):
        shutil.copytree(HOUSE / part, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
    folder = copy / "kitchend" / "core" / "languages" / TAG
    shutil.copytree(folder.with_name("en"), folder)
    for file in folder.glob("*.py"):
        text = file.read_text(encoding="utf-8")
        for english, own in OWN.items():
            text = text.replace(english, own)
        file.write_text(changed(text), encoding="utf-8")
    (copy / "plans" / TAG).mkdir()
    (copy / "plans" / TAG / "mill.yaml").write_text(PLAN, encoding="utf-8")
    test = (HOUSE / "tests" / "core" / "test_languages.py").read_text(encoding="utf-8")
    line = f'PLANS["{TAG}"] = "plans/{TAG}/mill.yaml"\n\nAGREEING ='
    (copy / "tests").mkdir()
    (copy / "tests" / "test_languages.py").write_text(test.replace("AGREEING =", line), encoding="utf-8")
    return copy


def run(house: Path, *command: str) -> str:
    """What a command prints in the copy; it must do its work."""
    done = subprocess.run(
        [sys.executable, *command],
        cwd=house,
        env=os.environ | {"PYTHONPATH": str(house), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.slow
def test_the_tests_of_languages_take_it(house: Path) -> None:
    assert TAG not in LANGUAGES
    chosen = f"[{TAG}] and not no_english"  # it is English, but for some words
    told = run(house, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/test_languages.py", "-k", chosen)
    assert re.search(r"\b1[0-9] passed", told), told


@pytest.mark.slow
def test_a_dinner_is_lived_through_in_it(house: Path) -> None:
    told = run(house, "-c", REHEARSED)
    assert "Evening at the mill was served on time" in told
    assert "höi küchen" in told
    assert "Fîve minutes" in told
    assert "Crêpes whisked." in told
    assert re.search(r"\bfive\b|hey kitchen", told, re.IGNORECASE) is None
