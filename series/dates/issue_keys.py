"""The stable key of an issue within its type, made from what tells it from the others.

What is computed: a slug (lower-case ASCII letters, digits, hyphens; at most 80 characters) from
the calendar, the date shown, the marks and the purpose of an issue. Digits of any script become
0 to 9; a sign without letters is called by its Unicode name. The rule is this project's own, and
must not change: stored issues are found again by it.

>>> from series.dates.runs import parse_run
>>> taken: set[str] = set()
>>> for issue in parse_run('1953 S proof, 1952, 1952 (1953), ١٣٨٩ (1969), 1947 S, 1947 S "wide"'):
...     taken.add(issue_key(issue, issue.marks, taken))
>>> sorted(taken)
['1389', '1947-s', '1947-s-wide', '1952', '1952-struck-1953', '1953-s-proof']
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Sequence

from series.dates.runs import DatedIssue

LONGEST = 80


def issue_key(issue: DatedIssue, marks: Sequence[str], taken: Container[str]) -> str:
    """The key of an issue that carries ``marks`` (their texts), none of ``taken``.

    An issue whose key is taken adds its years of striking, then its note, then a number.
    """
    calendar = "" if issue.calendar == "civil" else issue.calendar
    date = _slug(issue.shown) if issue.shown else "undated"
    if not date:
        date = f"struck-{issue.struck_from}" if issue.struck_from else "date"
    purpose = "" if issue.purpose == "circulation" else issue.purpose
    parts = [_slug(calendar), date, *map(_slug, marks), _slug(purpose.replace("_", " "))]
    key = _joined(parts)
    if key not in taken:
        return key
    more = []
    if issue.struck_from and not issue.is_plain:
        more.append(f"struck-{issue.struck_from}")
        if issue.struck_to != issue.struck_from:
            more.append(f"{issue.struck_to}")
        if _joined([*parts, *more]) not in taken:
            return _joined([*parts, *more])
    if issue.note:
        more.append(_slug(issue.note)[:30].strip("-"))
        if _joined([*parts, *more]) not in taken:
            return _joined([*parts, *more])
    return numbered(_joined(parts), taken)


def numbered(key: str, taken: Container[str]) -> str:
    """A key, with the first number after it that makes it none of ``taken`` where it is one.

    >>> numbered("1931", ()), numbered("1931", {"1931", "1931-2"})
    ('1931', '1931-3')
    """
    base, number = key, 2
    while key in taken:
        key = _joined([base[: LONGEST - 5], str(number)])
        number += 1
    return key


def _joined(parts: Sequence[str]) -> str:
    return "-".join(filter(None, parts))[:LONGEST].strip("-")


def _slug(text: str) -> str:
    letters = []
    for char in unicodedata.normalize("NFKD", text):
        digit = unicodedata.decimal(char, None)
        if digit is not None:
            letters.append(str(digit))
        elif char.isascii():
            letters.append(char.lower())
        elif unicodedata.category(char)[0] == "S" and len(text) == 1:
            letters.append(unicodedata.name(char, "").lower())
        else:
            letters.append(" " if unicodedata.category(char)[0] in "PZS" else "")
    return re.sub(r"[^a-z0-9]+", "-", "".join(letters)).strip("-")
