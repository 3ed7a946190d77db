"""Articles, lists and shapes in words."""

from __future__ import annotations

import pytest

from series.text.english import a, alignment_words, beside, listed, outline_words, the


@pytest.mark.parametrize(
    ("name", "definite", "indefinite"),
    [
        ("net", "the net", "a net"),
        ("owl", "the owl", "an owl"),
        ("arms", "arms", "arms"),
        ("crossed oars", "the crossed oars", "crossed oars"),
        ("cross", "the cross", "a cross"),
        ("walrus", "the walrus", "a walrus"),
        ("gull over waves", "the gull over waves", "a gull over waves"),
        ("Queen Maren", "Queen Maren", "Queen Maren"),
    ],
)
def test_a_name_with_its_article(name: str, definite: str, indefinite: str) -> None:
    assert (the(name), a(name)) == (definite, indefinite)


def test_a_list_has_and_before_the_last() -> None:
    assert listed([]) == ""
    assert listed(["net"]) == "net"
    assert listed(["net", "gull"]) == "net and gull"
    assert listed(["net", "gull", "owl"], a) == "a net, a gull and an owl"


@pytest.mark.parametrize(
    ("outline", "sides", "said"),
    [
        ("polygon", 2, "two-sided"),
        ("polygon", 20, "twenty-sided"),
        ("polygon", 21, "21-sided"),
        ("polygon", 0, "many-sided"),
        ("curved", 7, "seven-sided with curved sides"),
        ("scalloped", 8, "scalloped with eight lobes"),
        ("scalloped", 0, "scalloped"),
        ("notched", 7, "round with seven indentations"),
        ("notched", 0, "round with indentations"),
        ("square", 4, "square with rounded corners"),
        ("oval", 0, "oval"),
    ],
)
def test_an_outline_in_words(outline: str, sides: int, said: str) -> None:
    assert outline_words(outline, sides) == said


def test_the_alignment_in_words() -> None:
    assert [alignment_words(hours) for hours in (12, 6, 1)] == [
        "medal alignment",
        "coin alignment",
        "alignment at 1 o'clock",
    ]


def test_where_a_mark_stands() -> None:
    assert [beside(what) for what in ("the date", "Below the net", "")] == [
        "near the date",
        "Below the net",
        "",
    ]
