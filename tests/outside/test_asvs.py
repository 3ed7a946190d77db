"""The table of what OWASP's Application Security Verification Standard asks holds together.

Whether a test holds its line is for whoever reads both; that it is there is checked here.
"""

from __future__ import annotations

import ast
import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
CHAPTERS = (
    "sign-in",
    "sessions",
    "access",
    "input",
    "files",
    "secrets",
    "logging",
    "data-protection",
    "configuration",
)
TABLE: dict[str, list[dict[str, Any]]] = tomllib.loads(
    Path(__file__).with_name("asvs.toml").read_text()
)
LINES = [(chapter, line) for chapter, lines in TABLE.items() for line in lines]


@cache
def _functions(file: str) -> frozenset[str]:
    tree = ast.parse((ROOT / file).read_text())
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))


def test_each_chapter_of_the_standard_has_lines() -> None:
    assert tuple(TABLE) == CHAPTERS
    assert min(len(lines) for lines in TABLE.values()) >= 3
    assert 35 <= len(LINES) <= 60


@pytest.mark.parametrize(("chapter", "line"), LINES)
def test_a_line_is_held_by_tests_that_are_there_or_says_why_not(
    chapter: str, line: dict[str, Any]
) -> None:
    assert line["asked"].endswith(".")
    if not line["met"]:
        assert set(line) == {"asked", "met", "why"}
        assert len(line["why"]) > 10 or line["why"] == "being built"
        return
    assert set(line) == {"asked", "met", "tests"}
    assert line["tests"]
    for named in line["tests"]:
        file, _colons, function = named.partition("::")
        assert function.startswith("test_"), named
        assert (ROOT / file).is_file(), named
        assert function in _functions(file), named


def test_no_line_stands_twice_or_gives_a_number_of_the_standard() -> None:
    asked = [line["asked"] for _chapter, line in LINES]
    assert len(set(asked)) == len(asked)
    assert [text for text in asked if re.search(r"\bV?\d+\.\d+", text)] == []
