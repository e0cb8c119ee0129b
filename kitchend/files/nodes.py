"""From a path to YAML nodes, whatever the path holds: the one place where a plan file is opened.

Nodes are composed with PyYAML's safe loader and never turned into objects, so values stay the text that was
written and no tag can run anything. Size, depth, number of values and aliases are bounded before they can
cost time; each refusal is one line, from the moment the text can be read in the language it names.
"""

from __future__ import annotations

import stat
from pathlib import Path
from typing import Any

import yaml
from yaml.error import Mark, MarkedYAMLError

from kitchend.core.tongue import clause, speaking
from kitchend.errors import PlanError, Problem
from kitchend.files.complaints import LONGEST_PATH, readable
from kitchend.files.languages import language_in

LARGEST_BYTES = 1_000_000
MOST_NODES = 10_000
DEEPEST = 20
"""A dinner of forty dishes is under 100 kB, 5,000 values and a depth of 8; beyond these it is no dinner."""

_PLAIN_TAGS = frozenset(
    f"tag:yaml.org,2002:{kind}"
    for kind in ("str", "int", "float", "bool", "null", "timestamp", "map", "seq", "merge", "value")
)

_MENDING = (
    ("'\\t' that cannot start", "yaml.tab"),
    ("cannot start any token", "yaml.sign"),
    ("mapping values are not allowed", "yaml.colon"),
    ("expected ':'", "yaml.no.colon"),
    ("expected <block end>", "yaml.uneven"),
    ("expected '<document start>'", "yaml.uneven"),
    ("another document", "yaml.second"),
    ("unexpected end of stream", "yaml.quote"),
    ("expected ',' or", "yaml.open"),
)
"""What PyYAML says, and how a cook would say it; other complaints keep PyYAML's words."""


class _BoundError(MarkedYAMLError):
    """A bound is passed; `note` holds the hint."""


class _BoundedLoader(yaml.SafeLoader):
    """Composes nodes within bounds; nothing is constructed."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self._nodes = 0
        self._depth = 0

    def compose_node(self, parent: yaml.Node | None, index: Any) -> yaml.Node | None:
        event: yaml.Event = self.peek_event()  # type: ignore[no-untyped-call]  # PyYAML's types leave it out
        self._nodes += 1
        if isinstance(event, yaml.AliasEvent):
            raise _refusal(event, "yaml.alias")
        if self._nodes > MOST_NODES:
            raise _refusal(event, "yaml.values", most=f"{MOST_NODES:,}")
        if self._depth >= DEEPEST:
            raise _refusal(event, "yaml.deep", most=str(DEEPEST))
        self._depth += 1
        node = super().compose_node(parent, index)
        self._depth -= 1
        if node is not None and node.tag not in _PLAIN_TAGS:
            raise _refusal(node, "yaml.tag")
        return node


def load_nodes(path: Path) -> yaml.Node | None:
    """The root node of the file, None if it holds only comments or nothing.

    Raises PlanError with one problem when the file cannot be read or is no YAML.
    """
    file = readable(str(path), LONGEST_PATH)
    text = _decoded(file, _contents(file, path))
    with speaking(language_in(text)):
        return _composed(file, text)


def _composed(file: str, text: str) -> yaml.Node | None:
    loader = None
    try:
        loader = _BoundedLoader(text)
        return loader.get_single_node()
    except MarkedYAMLError as error:
        raise _from_marked(file, error) from None
    except yaml.reader.ReaderError as error:
        raise _from_reader(file, text, error) from None
    except (ValueError, OverflowError):
        # PyYAML lets these through for escapes beyond Unicode, such as "\UFFFFFFFF".
        raise _from_escape(file, loader) from None
    finally:
        if loader is not None:
            loader.dispose()


def _refusal(at: Any, key: str, **facts: str) -> _BoundError:
    message, hint = clause(key, **facts), clause(f"{key}.hint")
    return _BoundError(problem=message, problem_mark=at.start_mark, note=hint)


def _contents(file: str, path: Path) -> bytes:
    """What a regular file holds, never more than LARGEST_BYTES; reading a device or a pipe may not end."""
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise _unusable(file, "this is a directory, not a plan", "name a .yaml file in it")
        if not stat.S_ISREG(about.st_mode):
            raise _unusable(file, "this is no ordinary file", "name a .yaml file")
        with path.open("rb") as opened:
            contents = opened.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise _unusable(file, "there is no such file", _similar_file(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is no file name"
        raise _unusable(file, f"cannot be read: {reason}", "check the name and who may read it") from None
    if len(contents) > LARGEST_BYTES:
        limit = f"{LARGEST_BYTES // 1_000_000} MB"
        raise _unusable(file, f"larger than {limit}", f"a plan is one dinner and stays far below {limit}")
    return contents


def _similar_file(path: Path) -> str:
    for suffix in (".yaml", ".yml"):
        if path.with_name(path.name + suffix).is_file():
            return f"did you mean {path.name}{suffix}?"
    return "check the name and the directory"


def _decoded(file: str, contents: bytes) -> str:
    try:
        return contents.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, column = _place(contents[: error.start].decode("utf-8-sig", "replace"))
        message = f"byte {contents[error.start]:#04x} here is not UTF-8"
        hint = "save the file as UTF-8"
        raise _unusable(file, message, hint, line=line, column=column) from None


def _place(before: str) -> tuple[int, int]:
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


def _unusable(
    file: str, message: str, hint: str, *, line: int | None = None, column: int | None = None
) -> PlanError:
    problem = Problem(file=file, line=line, column=column, message=readable(message), hint=hint)
    return PlanError((problem,))


def _from_marked(file: str, error: MarkedYAMLError) -> PlanError:
    said = error.problem or error.context or "this is no YAML"
    mark: Mark | None = error.problem_mark or error.context_mark
    if "unexpected end of stream" in said:
        mark = error.context_mark or mark  # where the quote was opened, not where the file ends
    if isinstance(error, _BoundError):
        message, hint = said, error.note or ""
    else:
        key = next((key for words, key in _MENDING if words in said), "yaml.other")
        message, hint = clause(key, said=" ".join(said.split())), clause(f"{key}.hint")
    if mark is None:
        return _unusable(file, message, hint)
    return _unusable(file, message, hint, line=mark.line + 1, column=mark.column + 1)


def _from_reader(file: str, text: str, error: yaml.reader.ReaderError) -> PlanError:
    line, column = _place(text[: error.position])
    code = error.character if isinstance(error.character, int) else ord(str(error.character)[:1] or "\0")
    return _unusable(
        file,
        clause("yaml.character", code=f"U+{code:04X}"),
        clause("yaml.character.hint"),
        line=line,
        column=column,
    )


def _from_escape(file: str, loader: _BoundedLoader | None) -> PlanError:
    line, column = (loader.line + 1, loader.column + 1) if loader else (None, None)
    return _unusable(
        file,
        clause("yaml.escape"),
        clause("yaml.escape.hint"),
        line=line,
        column=column,
    )
