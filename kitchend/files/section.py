"""One block of keys in a plan file: known keys, their values as written, and complaints where they lie.

A reading method returns None when the key is missing or its value was complained of, so that reading goes on
and finds the rest. Values are the text of the file, untouched by YAML 1.1: `on` is a key and 19:30 is a time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import yaml

from kitchend.core.quantities import QuantityError
from kitchend.core.wording import clause
from kitchend.files.complaints import Complaints, Spot, echo

LONGEST_NAME = 60
LONGEST_LIST = 30

T = TypeVar("T")

_NULL = "tag:yaml.org,2002:null"


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A piece of text and where it stands."""

    text: str
    spot: Spot


class Section:
    """A mapping node with the keys it may have. `way` is the path of names that leads to it."""

    def __init__(
        self,
        node: yaml.Node,
        known: Sequence[str],
        way: str,
        complaints: Complaints,
        other_words: Mapping[str, str] | None = None,
    ) -> None:
        self.way = way
        self.complaints = complaints
        self._start = _mark(node, way)
        self._values: dict[str, yaml.Node] = {}
        self._keys: dict[str, Spot] = {}
        if isinstance(node, yaml.MappingNode):
            self._take_keys(node, known, other_words or {})

    def _take_keys(
        self, node: yaml.MappingNode, known: Sequence[str], other_words: Mapping[str, str]
    ) -> None:
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self.complaints.problem(
                    _mark(key_node, self.way), clause("wrong.key.word"), clause("wrong.key.word.hint")
                )
                continue
            key = " ".join(str(key_node.value).split())
            spot = _mark(key_node, self._path(echo(key)), key)
            if key in self._keys:
                hint = clause("wrong.twice.hint", line=f"{self._keys[key].line}")
                self.complaints.problem(spot, clause("wrong.twice", key=echo(key)), hint)
            elif known and key not in known:
                other = other_words.get(key)
                hint = clause(other) if other else self.complaints.suggestion(key, known)
                self.complaints.problem(spot, clause("wrong.key", key=echo(key)), hint)
            else:
                self._keys[key] = spot
                self._values[key] = value_node

    def _path(self, key: str) -> str:
        return f"{self.way}.{key}" if self.way else key

    @property
    def keys(self) -> tuple[str, ...]:
        """The known keys that are given, in the order of the file."""
        return tuple(self._keys)

    def has(self, key: str) -> bool:
        """Whether the key is given."""
        return key in self._keys

    def node(self, key: str) -> yaml.Node | None:
        """The node of a key's value, None if it is not given."""
        return self._values.get(key)

    def spot(self, key: str = "") -> Spot:
        """Where the key's value stands; where the block starts if the key is not given."""
        if key in self._values:
            return _mark(self._values[key], self._keys[key].field, key)
        return replace(self._start, field=self._path(key), key=key) if key else self._start

    def key_spot(self, key: str) -> Spot:
        """Where the key itself stands; where the block starts if it is not given."""
        return self._keys.get(key, self.spot(key))

    def need(self, key: str, hint: str) -> bool:
        """Whether the key is given; complains if not."""
        if not self.has(key):
            self.complaints.problem(self.spot(key), clause("wrong.missing", key=key), hint)
        return self.has(key)

    def text(self, key: str, most: int = LONGEST_NAME) -> str | None:
        """The value as one line of text, None if missing or complained of."""
        node = self._values.get(key)
        written = _scalar(node, self.spot(key), self.complaints, most) if node is not None else None
        return written.text if written else None

    def name(self, key: str, example: str) -> str | None:
        """The value as a name that can be spoken; complains when it is missing."""
        if not self.need(key, clause("wrong.missing.hint", key=key, example=example)):
            return None
        text = self.text(key)
        return text if text is not None and is_speakable(text, self.spot(key), self.complaints) else None

    def texts(self, key: str) -> tuple[Written, ...]:
        """The value as a list of texts; a single text is a list of one."""
        node = self._values.get(key)
        if node is None:
            return ()
        spot = self.spot(key)
        if not isinstance(node, yaml.SequenceNode):
            only = _scalar(node, spot, self.complaints)
            return (only,) if only else ()
        if len(node.value) > LONGEST_LIST:
            self.complaints.problem(
                spot, clause("wrong.entries", most=f"{LONGEST_LIST}"), clause("wrong.entries.hint")
            )
        entries = [
            _scalar(entry, _mark(entry, spot.field, key), self.complaints)
            for entry in node.value[:LONGEST_LIST]
        ]
        return tuple(entry for entry in entries if entry)

    def value(self, key: str, parse: Callable[[str], T]) -> T | None:
        """The value through a parser that may raise QuantityError."""
        text = self.text(key)
        if text is None:
            return None
        try:
            return parse(text)
        except QuantityError as error:
            self.complaints.problem(self.spot(key), error.problem, error.hint)
            return None

    def count(self, key: str, most: int) -> int | None:
        """The value as a whole number from 1 to `most`."""
        text = self.text(key)
        if text is None:
            return None
        if text.isascii() and text.isdecimal() and len(text) < 10 and 1 <= int(text) <= most:
            return int(text)
        message = clause("wrong.count", text=echo(text))
        self.complaints.problem(self.spot(key), message, clause("wrong.count.hint", most=f"{most}"))
        return None

    def blocks(self, key: str) -> list[yaml.Node]:
        """The value as a list of blocks; complains and skips what is none."""
        node = self._values.get(key)
        if node is None:
            return []
        if not isinstance(node, yaml.SequenceNode) or not node.value:
            example = {"dishes": "dish", "steps": "step"}.get(key, key)
            hint = clause("wrong.list.hint", example=example)
            self.complaints.problem(self.spot(key), clause("wrong.list", key=key), hint)
            return []
        return [entry for number, entry in enumerate(node.value, 1) if self._is_block(entry, key, number)]

    def _is_block(self, node: yaml.Node, key: str, number: int) -> bool:
        if isinstance(node, yaml.MappingNode):
            return True
        example = {"dishes": "dish", "steps": "step"}.get(key, key)
        given = echo(str(node.value)) if isinstance(node, yaml.ScalarNode) and node.value else None
        spot = _mark(node, f"{self._path(key)}[{number}]", key)
        hint = clause("wrong.block.hint", example=example, name=given or clause("wrong.block.name"))
        self.complaints.problem(spot, clause("wrong.block"), hint)
        return False


def is_speakable(text: str, spot: Spot, complaints: Complaints) -> bool:
    """Whether a name can be spoken: it has a letter, and nothing unprintable. Complains if not."""
    if not text.isprintable() or not any(letter.isalpha() for letter in text):
        complaints.problem(spot, clause("wrong.speakable"), clause("wrong.speakable.hint"))
        return False
    return True


def _scalar(node: yaml.Node, spot: Spot, complaints: Complaints, most: int = LONGEST_NAME) -> Written | None:
    if not isinstance(node, yaml.ScalarNode):
        complaints.problem(spot, clause("wrong.text"), clause("wrong.text.hint"))
        return None
    text = " ".join(str(node.value).split())
    if node.tag == _NULL or not text:
        hint = clause("wrong.empty.after" if spot.key == "after" else "wrong.empty.hint")
        complaints.problem(spot, clause("wrong.empty"), hint)
        return None
    if len(text) > most:
        complaints.problem(spot, clause("wrong.long", most=f"{most}"), clause("wrong.long.hint"))
        return None
    return Written(text=text, spot=spot)


def _mark(node: yaml.Node, field: str, key: str = "") -> Spot:
    return Spot(line=node.start_mark.line + 1, column=node.start_mark.column + 1, field=field, key=key)
