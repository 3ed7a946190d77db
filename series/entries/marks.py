"""How the issues of a type name its marks, and the issues as a date run names them.

What is computed: the names by which dates call marks, the texts of marks from their identities,
and a ``DatedIssue`` (``series.dates.runs``) from a record. The notation is this project's own.

>>> s, star = MarkText("S", "reverse"), MarkText("star")
>>> mark_ids((s, MarkText("S", "obverse"), star))
{'mint/reverse/S': 'S-reverse', 'mint/obverse/S': 'S-obverse', 'star': 'star'}
>>> issue = IssueEntry("1947-s", "1947", "civil", 1947, 1947, marks=(s.identity,))
>>> dated_issue(issue, {s.identity: "S"}).marks
('S',)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

from series.dates.runs import DatedIssue
from series.entries.columns import columns
from series.entries.tables import IssueEntry, MarkText

LONGEST_MARKS = 60
_ISSUE = columns(IssueEntry)


def text_of(identity: str) -> str:
    """The text of a mark, from its identity.

    >>> text_of("mint/reverse/S"), text_of("a/b/c")
    ('S', 'a/b/c')
    """
    _kind, _slash, rest = identity.partition("/")
    side, slash, text = rest.partition("/")
    return text if slash and side in ("obverse", "reverse", "edge") else identity


def mark_text(marks: Sequence[str]) -> str:
    """How the marks of one issue are written after its date: ``S+star``."""
    return "+".join(marks)


def mark_ids(marks: Sequence[MarkText]) -> dict[str, str]:
    """What dates call each mark, by its identity: the text, or with its face, or all of it."""
    texts = Counter(mark.text for mark in marks)
    on_faces = Counter((mark.text, mark.side) for mark in marks)
    ids = {}
    for mark in marks:
        if texts[mark.text] == 1 or not mark.side:
            ids[mark.identity] = mark.text
        elif on_faces[mark.text, mark.side] == 1:
            ids[mark.identity] = f"{mark.text}-{mark.side}"
        else:
            ids[mark.identity] = f"{mark.text}-{mark.side}-{mark.kind}"
    return ids


def dated_issue(issue: IssueEntry, ids: dict[str, str]) -> DatedIssue:
    said: dict[str, Any] = {each.name: getattr(issue, each.name) for each in fields(DatedIssue)}
    return DatedIssue(**{**said, "marks": tuple(ids[mark] for mark in issue.marks)})


def date_fields(dated: DatedIssue) -> dict[str, Any]:
    """What a date says of its issue, by the names of the issue's columns, but for its marks."""
    return {name: value for name, value in vars(dated).items() if name != "marks"}


def too_long(dated: DatedIssue, marks: Sequence[str]) -> Iterator[str]:
    """What of an issue with these texts of marks is longer than is kept, each as a sentence.

    >>> list(too_long(DatedIssue("1947", 1947, 1947, calendar="c" * 21), ()))
    ["the calendar 'ccccccccccccccccccccc' has more than 20 characters."]
    """
    for name, text, longest in (
        ("date", dated.shown, _ISSUE["shown"].limits["longest"]),
        ("calendar", dated.calendar, _ISSUE["calendar"].limits["longest"]),
        ("marks", mark_text(marks), LONGEST_MARKS),
        ("note", dated.note, _ISSUE["note"].limits["longest"]),
    ):
        if len(text) > longest:
            yield f"the {name} '{text}' has more than {longest} characters."
