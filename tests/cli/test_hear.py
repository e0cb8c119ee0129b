"""`kitchend hear` as a real process with the real ears: a line a file, whatever the files are."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kitchend.errors import DeviceError
from kitchend.speaking.espeak_voice import EspeakVoice
from tests.cli.process import done

pytestmark = pytest.mark.slow

PLAN = str(Path(__file__).parents[2] / "plans" / "boathouse-sunday.yaml")
KEYS = {
    "file",
    "text",
    "accepted",
    "asks",
    "reason",
    "intent",
    "step",
    "minutes",
    "degrees",
    "took_s",
    "audio_s",
}
COMMANDS = {
    "hold the squash": "hold",
    "ten more minutes on the cabbage": "give_time",
    "the turkey is at sixty two": "reading",
    "steam the beans": "step",
}
CHATTER = "my cousin said the weather by the sea was lovely and everybody went for a swim"


@pytest.fixture
def recordings(tmp_path: Path) -> dict[str, Path]:
    """Each sentence as a recording, by its words."""
    voice = EspeakVoice("en-us+m3", rate_wpm=175)
    files = {}
    try:
        for number, words in enumerate([*COMMANDS, CHATTER]):
            files[words] = tmp_path / f"{number}.wav"
            voice.render(words).to_wav(files[words])
    except DeviceError as error:
        pytest.skip(str(error))
    return files


def test_a_line_a_file_with_what_it_means(recordings: dict[str, Path]) -> None:
    answer = done("hear", "--window", "--json", "--plan", PLAN, *map(str, recordings.values()))
    assert answer.returncode == 0, answer.stderr
    lines = [json.loads(line) for line in answer.stdout.splitlines()]
    assert [line["file"] for line in lines] == [str(path) for path in recordings.values()]
    assert all(set(line) >= KEYS for line in lines)
    right = [line["intent"] == intent for line, intent in zip(lines, COMMANDS.values(), strict=False)]
    assert sum(right) >= 2, lines  # how well it hears is held elsewhere, with better voices
    assert not lines[-1]["accepted"]
    for line in lines:
        if line["text"] == "the turkey is at sixty two":
            assert (line["degrees"], line["minutes"]) == (62, None)
        if line["text"] == "ten more minutes on the cabbage":
            assert (line["degrees"], line["minutes"]) == (None, 10)


def test_files_that_cannot_be_heard_are_lines_too(tmp_path: Path) -> None:
    (tmp_path / "text.wav").write_text("not a sound")
    (tmp_path / "folder.wav").mkdir()
    files = [str(tmp_path / name) for name in ("text.wav", "folder.wav", "missing.wav")]
    answer = done("hear", "--plan", PLAN, *files)
    assert answer.returncode == 1
    assert [line.split(":")[0] for line in answer.stdout.splitlines()] == files
    assert [line.split(":")[1].strip() for line in answer.stderr.splitlines()] == files
    assert "Traceback" not in answer.stderr
