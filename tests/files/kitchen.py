"""Plan files for tests: written to a folder, checked, and their complaints without the file's own path."""

from __future__ import annotations

from pathlib import Path

from kitchend.files.plan_yaml import Checked, check_plan

HEAD = """\
plan: Test supper
equipment:
  oven: {shelves: 3}
  hob: {rings: 4}
dishes:
  - dish: greens
    steps:
"""


def cases(table: str) -> dict[str, tuple[str, list[str]]]:
    """The cases of a table beside this file: by name, a plan file's text and the lines expected of it."""
    found = {}
    for case in Path(__file__).with_name(table).read_text(encoding="utf-8").split("\n==== ")[1:]:
        name, _, rest = case.partition("\n")
        contents, _, lines = rest.partition("----\n")
        assert name not in found, f"two cases are called {name}"
        found[name] = (contents, [line for line in lines.splitlines() if line])
    return found


def checked(folder: Path, contents: str | bytes) -> Checked:
    """What check makes of a file that holds this."""
    file = folder / "plan.yaml"
    file.write_bytes(contents if isinstance(contents, bytes) else contents.encode())
    return check_plan(file)


def with_step(*lines: str) -> str:
    """A plan with one step; the first of `lines` stands on line 9, every key in column 9."""
    return HEAD + "      - step: steam the greens\n" + "".join(f"        {line}\n" for line in lines)


def with_steps(*steps: str) -> str:
    """A plan with the steps "NAME; key: value; key: value", each key on a line of its own."""
    written = []
    for step in steps:
        name, *keys = step.split("; ")
        written += [f"      - step: {name}\n", *(f"        {key}\n" for key in keys)]
    return HEAD + "".join(written)


def problems(found: Checked) -> list[str]:
    """The problems as they are shown, from the line number on."""
    return [str(problem).removeprefix(f"{found.file}:") for problem in found.problems]


def warnings(found: Checked) -> list[str]:
    """The same of the warnings, but for equipment that a short test leaves unused."""
    shown = [str(warning).removeprefix(f"{found.file}:") for warning in found.warnings]
    return [warning for warning in shown if ": no step uses the " not in warning]
