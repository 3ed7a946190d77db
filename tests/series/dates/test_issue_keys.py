"""Keys of issues are slugs, unique in a type, and the same whenever they are made."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.dates.issue_keys import LONGEST, issue_key
from series.dates.issues import DatedIssue
from series.dates.runs import parse_run
from series.entries.marks import mark_text


def keys(run: str) -> list[str]:
    taken: list[str] = []
    for issue in parse_run(run):
        taken.append(issue_key(issue, issue.marks, taken))
    return taken


@pytest.mark.parametrize(
    ("run", "expected"),
    [
        ("1931", ["1931"]),
        ("1947 S+D", ["1947-s-d"]),
        ("1947 S proof", ["1947-s-proof"]),
        ("AH 1389 (1969)", ["ah-1389"]),
        ("١٣٨٩ (1969)", ["1389"]),
        ("n.d. (1890–95)", ["undated"]),
        ("n.d. (1890–95), n.d. (1899)", ["undated", "undated-struck-1899"]),
        ('"MCMLII" (1952)', ["mcmlii"]),
        ('"大正" (1912)', ["struck-1912"]),
        ('1931 +"★"', ["1931-black-star"]),
        ("1952, 1952 (1953)", ["1952", "1952-struck-1953"]),
        ("1952, 1952 (1954–55)", ["1952", "1952-struck-1954-1955"]),
        ('1931, 1931 "wide rim"', ["1931", "1931-wide-rim"]),
        ('1931 "É", 1931 "e"', ["1931", "1931-e"]),
    ],
)  # fmt: skip
def test_keys(run: str, expected: list[str]) -> None:
    assert keys(run) == expected


def test_mint_letters_i_and_j_keep_apart() -> None:
    assert keys("1947 I/J") == ["1947-i", "1947-j"]


def test_marks_are_joined_by_a_plus() -> None:
    assert mark_text(["S", "star"]) == "S+star"


TEXT = st.text(max_size=40).map(str.strip)


@given(st.lists(st.tuples(TEXT, st.lists(TEXT.filter(bool), max_size=2), TEXT), max_size=6))
def test_keys_are_short_slugs_and_differ(issues: list[tuple[str, list[str], str]]) -> None:
    taken: set[str] = set()
    for shown, marks, note in issues:
        dated = DatedIssue(shown, 1931, 1931, tuple(marks), note=note)
        key = issue_key(dated, marks, taken)
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key)
        assert len(key) <= LONGEST
        assert key not in taken
        taken.add(key)
