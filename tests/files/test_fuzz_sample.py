"""A sample of what `make fuzz` does for ten minutes each: no made-up file or line is answered wrongly."""

from __future__ import annotations

import pytest

from tests.fuzz._fuzzing import TARGETS, WrongAnswerError, _is_a_line, examples


@pytest.mark.parametrize("name", TARGETS)
def test_whatever_comes_in_gets_a_clear_answer(name: str) -> None:
    examples(name, 60)


@pytest.mark.parametrize("line", ["", "two\nlines", "Traceback (most recent call last)", "x" * 5000])
def test_what_is_no_clear_line_is_noticed(line: str) -> None:
    with pytest.raises(WrongAnswerError):
        _is_a_line(line)
