"""Files that are no plan at all: one clear line each, never another exception, never a wait without end."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitchend.files.nodes import LARGEST_BYTES
from kitchend.files.plan_yaml import Checked, check_plan
from tests.files.kitchen import HEAD, checked, problems, with_step

STRANGE: Mapping[str, tuple[bytes, str]] = {
    "empty": (b"", "1:1: the file is empty (a plan starts with `plan: NAME`, then `dishes:`)"),
    "comments only": (b"# hi\n", "1:1: the file is empty (a plan starts with `plan: NAME`, then `dishes:`)"),
    "a word": (b"hello", "1:1: this is no plan (a plan starts with `plan: NAME`, then `dishes:`)"),
    "a list": (b"- a\n", "1:1: this is no plan (a plan starts with `plan: NAME`, then `dishes:`)"),
    "latin-1": (b"plan: cr\xe8me\n", "1:9: byte 0xe8 here is not UTF-8 (save the file as UTF-8)"),
    "latin-1 further down": (
        b"plan: x\n# \xe8\n",
        "2:3: byte 0xe8 here is not UTF-8 (save the file as UTF-8)",
    ),
    "utf-16": ("plan: x".encode("utf-16-le"), "1:2: a character (U+0000) that no text holds (take it out)"),
    "utf-16 with mark": (
        "plan: x".encode("utf-16"),
        "1:1: byte 0xff here is not UTF-8 (save the file as UTF-8)",
    ),
    "a zero byte": (b"plan: \0\n", "1:7: a character (U+0000) that no text holds (take it out)"),
    "a tab": (
        b"plan: x\ndishes:\n\t- dish: a\n",
        "3:1: a tab where a value or key would start (indent with spaces, not tabs)",
    ),
    "a colon in a value": (
        b"plan: x: y\n",
        "1:8: a colon where no value can start (quote a value that has a colon in it, and line keys up)",
    ),
    "an open quote": (
        b'plan: "x\ndishes: []\n',
        "1:7: a quote is opened here and not closed (close it on the same line)",
    ),
    "an open list": (
        b"plan: x\ndishes: [a, b\n",
        "3:1: a list or block is not closed (a list in one line ends with ], a block with })",
    ),
    "a key without colon": (
        b"plan: x\ndishes\n",
        "3:1: a key without a colon (write it like `key: value`, with a space after the colon)",
    ),
    "keys that do not line up": (
        b"  plan: x\ndishes: []\n",
        "2:1: this does not line up (keys of one block start in the same column)",
    ),
    "a reserved sign": (
        b"plan: @home\n",
        "1:7: a sign that YAML keeps for itself (quote a value that starts with a sign)",
    ),
    "two documents": (
        b"plan: x\n---\nplan: y\n",
        "2:1: a second document begins here (one file holds one plan: take the `---` line out)",
    ),
    "another YAML": (
        b"%YAML 9.9\n---\nplan: x\n",
        (
            "1:1: not readable as YAML: found incompatible YAML document (version 1.* is required) "
            "(check the lines around it)"
        ),
    ),
    "an alias": (
        b"plan: &p x\ndishes: *p\n",
        "2:9: a plan has no aliases (*) (write the value out where it is needed)",
    ),
    "a tag that would run a command": (
        b"plan: !!python/object/apply:os.system [ls]\n",
        "1:7: a plan has no tags (!) (write the value without its tag)",
    ),
    "nesting without end": (
        b"[" * 200_000,
        "1:21: blocks nested more than 20 deep (a plan needs no such depth)",
    ),
    "nested blocks": (
        b"\n".join(b" " * k + b"a:" for k in range(400)),
        "20:20: blocks nested more than 20 deep (a plan needs no such depth)",
    ),
    "values without end": (
        b"a: b\n" * 100_000,
        "5000:4: more than 10,000 values (a plan is one dinner: split it)",
    ),
    "an impossible escape": (
        b'plan: "\\UFFFFFFFF"\n',
        "1:10: an escape (\\) that stands for no character (write the letter itself)",
    ),
}


@pytest.mark.parametrize(("contents", "expected"), STRANGE.values(), ids=STRANGE)
def test_a_strange_file_gets_one_line(tmp_path: Path, contents: bytes, expected: str) -> None:
    found = checked(tmp_path, contents)
    assert found.plan is None
    assert problems(found) == [expected]


def test_a_bomb_of_aliases_is_refused_at_its_first_alias(tmp_path: Path) -> None:
    """Nine lines that would unfold to a billion words ("billion laughs")."""
    lines = ["a0: &a0 [ha, ha, ha, ha, ha, ha, ha, ha, ha, ha]"]
    lines += [f"a{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 10)}]" for k in range(1, 9)]
    assert problems(checked(tmp_path, "\n".join(lines))) == [
        "2:10: a plan has no aliases (*) (write the value out where it is needed)"
    ]


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    """A sparse file far larger than memory: reading it would fail or never end."""
    file = tmp_path / "large.yaml"
    with file.open("wb") as opened:
        opened.truncate(1 << 40)
    found = check_plan(file)
    assert problems(found) == [" larger than 1 MB (a plan is one dinner and stays far below 1 MB)"]


def test_the_largest_file_is_still_read(tmp_path: Path) -> None:
    contents = with_step("hands: 3 min")
    filled = contents + "#" * (LARGEST_BYTES - len(contents))
    assert checked(tmp_path, filled).plan
    assert not checked(tmp_path, filled + "#").plan


def test_a_directory_is_no_plan(tmp_path: Path) -> None:
    assert problems(check_plan(tmp_path)) == [" this is a directory, not a plan (name a .yaml file in it)"]


def test_a_missing_file_is_said_to_be_missing(tmp_path: Path) -> None:
    assert problems(check_plan(tmp_path / "plan")) == [
        " there is no such file (check the name and the directory)"
    ]


def test_a_missing_ending_is_suggested(tmp_path: Path) -> None:
    checked(tmp_path, with_step("hands: 3 min"))
    assert problems(check_plan(tmp_path / "plan")) == [" there is no such file (did you mean plan.yaml?)"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    assert problems(check_plan(pipe)) == [" this is no ordinary file (name a .yaml file)"]


def test_a_device_that_never_ends_is_not_read() -> None:
    assert problems(check_plan("/dev/zero")) == [" this is no ordinary file (name a .yaml file)"]


@pytest.mark.parametrize(
    ("name", "reason"),
    [("a\0b", "the name is no file name"), ("x" * 3000, "File name too long")],
    ids=["zero byte", "too long"],
)
def test_a_name_that_no_file_can_have_is_one_line(name: str, reason: str) -> None:
    found = check_plan(name)
    assert len(found.problems) == 1
    assert found.problems[0].message == f"cannot be read: {reason}"
    assert str(found.problems[0]).isprintable()


def test_a_circle_of_links_is_one_line(tmp_path: Path) -> None:
    link = tmp_path / "plan.yaml"
    link.symlink_to(link)
    assert [problem.message for problem in check_plan(link).problems] == [
        "cannot be read: Too many levels of symbolic links"
    ]


def test_letters_that_move_a_terminal_do_not_reach_it(tmp_path: Path) -> None:
    found = checked(tmp_path, 'plan: "\\e[31mred"\n"\\e[2Jdishes": []\n"\\uD800": 1\n')
    assert len(found.problems) == 4
    assert all(str(problem).isprintable() for problem in found.problems)


def test_words_that_are_far_too_long_are_shortened(tmp_path: Path) -> None:
    found = checked(tmp_path, f"{'key' * 300}: 5\nplan: {'name ' * 300}\ndishes: {'x' * 5000}\n")
    assert found.problems
    assert all(len(str(problem)) < 900 for problem in found.problems)


_WORDS = st.sampled_from(
    [
        *(
            "plan",
            "serve",
            "people",
            "cooks",
            "equipment",
            "dishes",
            "dish",
            "also",
            "steps",
            "step",
            "hands",
        ),
        *(
            "takes",
            "until",
            "in",
            "on",
            "after",
            "during",
            "at",
            "every",
            "keeps",
            "raw",
            "look for",
            "preheat",
        ),
        *("oven", "hob", "shelves", "rings", "greens", "steam the greens", "5 min", "1 h to 2 h", "74 C"),
        *("oven at 200 C", "hob, 2 rings", "all day", "19:30", "1170", "true", "~", "*", "&", "!", "\u2028"),
    ]
)
_VALUES = st.recursive(
    st.one_of(_WORDS, st.text(max_size=8), st.integers(), st.none(), st.floats()),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(_WORDS, inner, max_size=6)),
    max_leaves=25,
)


def _holds(found: Checked) -> bool:
    """Either a plan or at least one problem, and every line fit for a terminal."""
    lines = [str(one) for one in (*found.problems, *found.warnings)]
    return (found.plan is None) == bool(found.problems) and all(line.isprintable() for line in lines)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(contents=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_any_bytes_are_a_plan_or_refused_in_words(tmp_path: Path, contents: bytes) -> None:
    assert _holds(checked(tmp_path, contents))


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(tree=st.dictionaries(_WORDS, _VALUES, max_size=6))
def test_any_yaml_is_a_plan_or_refused_in_words(tmp_path: Path, tree: dict[str, object]) -> None:
    assert _holds(checked(tmp_path, yaml.safe_dump(tree, allow_unicode=True)))


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(steps=st.lists(st.dictionaries(_WORDS, _VALUES, max_size=8), max_size=6))
def test_any_steps_are_a_plan_or_refused_in_words(tmp_path: Path, steps: list[dict[str, object]]) -> None:
    tree = yaml.safe_load(HEAD)
    tree["dishes"][0]["steps"] = [{"step": "steam the greens", **step} for step in steps]
    assert _holds(checked(tmp_path, yaml.safe_dump(tree, allow_unicode=True)))
