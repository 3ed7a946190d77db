"""What stands on a label: which facts of a piece, on which line.

What is computed: the lines of a label from the facts of a piece (texts) and a content, which is
a list of lines, each a list of names of facts. The first line is the label's title. A fact that
is not recorded is left out, and so is a line of which nothing is recorded. Denomination and date
belong together with a comma; other facts on one line are parted by a middle dot. The grade is
set in the heavier weight. The named contents were chosen by trial, no source.

>>> facts = {"denomination": "25 tinne", "date": "1953", "country": "Halvern",
...          "accession": "2024.117"}
>>> title, *others = label_of(facts, CONTENTS["short"]).lines
>>> [fact.joint + fact.text for fact in title], [[fact.text for fact in line] for line in others]
([' · 25 tinne', ', 1953'], [['Halvern'], ['2024.117']])
>>> lines_by_number({"date": 2, "denomination": 1, "grade": 2})
[['denomination'], ['date', 'grade']]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from catalogue.printing.label_text import DOT, Fact, Label
from series.text.naming import said_once

FIELDS = (
    "denomination", "date", "country", "series", "metal", "size", "grade", "pieces", "reference",
    "accession", "place",
)  # fmt: skip
"""Facts a label can carry, in the order in which they stand on a shared line."""

Content = Sequence[Sequence[str]]

CONTENTS: dict[str, Content] = {
    "full": (
        ("denomination", "date"),
        ("country", "series"),
        ("metal", "size"),
        ("grade", "pieces", "reference"),
        ("accession", "place"),
    ),
    "short": (("denomination", "date"), ("country", "grade"), ("accession",)),
    "ticket": (
        ("denomination", "date"),
        ("country",),
        ("metal",),
        ("grade",),
        ("accession",),
    ),
}
LINES_MOST = 6


def label_of(facts: Mapping[str, str], content: Content, code: str = "") -> Label:
    """The label of a piece; its key is the accession number. ``code``: the address for a QR."""
    facts = _said_once(facts, [name for names in content for name in names])
    lines = tuple(line for names in content if (line := _line(facts, names)))
    key = facts.get("accession", "")
    return Label(key, lines or ((Fact(key, "accession"),),), code)


def _said_once(facts: Mapping[str, str], names: Sequence[str]) -> Mapping[str, str]:
    """The facts, without a country or series that the other one says where both stand."""
    both = [name for name in ("country", "series") if name in names]
    said = said_once([facts.get(name, "") for name in both])
    return {**facts, **dict(zip(both, said, strict=True))}


def _line(facts: Mapping[str, str], names: Sequence[str]) -> tuple[Fact, ...]:
    """The recorded facts of a line. A comma stands between what a coin is called by."""
    line: list[Fact] = []
    for name in names:
        text = facts.get(name, "")
        if text:
            last = line[-1].name if line else ""
            joint = ", " if (last, name) == ("denomination", "date") else DOT
            line.append(Fact(text, name, strong=name == "grade", joint=joint))
    return tuple(line)


def lines_by_number(numbers: Mapping[str, int]) -> list[list[str]]:
    """A content of one's own: each fact with the number of its line, 0 for left out."""
    wanted = sorted({number for number in numbers.values() if number > 0})
    return [[name for name in FIELDS if numbers.get(name) == number] for number in wanted]
