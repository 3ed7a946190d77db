"""Templates and stylesheet can be read: no line too long, parts say what they take, an order."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TEMPLATES = sorted(path for path in (ROOT / "templates").rglob("*") if path.is_file())
STYLESHEET = ROOT / "static" / "exergue.css"
OF_TALKS = ROOT / "static" / "talk.css"
WIDTH = 120


def test_no_line_of_a_template_or_stylesheet_is_longer_than_a_diff_shows() -> None:
    assert len(TEMPLATES) > 100
    long = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in [*TEMPLATES, STYLESHEET, OF_TALKS]
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if len(line) > WIDTH
    ]
    assert long == []


def test_no_comma_is_parted_from_the_word_before_it() -> None:
    """A line that begins with a tag has a space before it: no comma may come next."""
    parted = re.compile(r"^\s*\{% (?:if|elif|else|endif|for|listed)\b[^%]*%\}(?:[,;:)]|\.(?:\s|$))")
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in TEMPLATES
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if parted.match(line)
    ]
    assert found == []


def test_every_part_says_at_its_top_what_it_takes() -> None:
    parts = [path for path in TEMPLATES if path.name[0] == "_" or path.parent.name == "partials"]
    assert len(parts) > 60
    silent = [
        str(path.relative_to(ROOT))
        for path in parts
        if path.suffix == ".html" and "{% comment %}" not in path.read_text()[:200]
    ]
    assert silent == []


@pytest.mark.parametrize("sheet", [STYLESHEET, OF_TALKS])
def test_the_head_of_a_stylesheet_names_its_sections_in_their_order(sheet: Path) -> None:
    text = sheet.read_text()
    head = text[: text.index("*/")]
    named = re.findall(r"^   (\S.*)$", head.split("\n\n")[1], re.MULTILINE)
    assert named[0].startswith("variables")
    assert named[1:] == re.findall(r"/\* ---- (.*?) ---- \*/", text)
