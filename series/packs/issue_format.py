"""Read the issues of a type in a reference pack: date runs, mintages, and what else is said.

What is computed: ``IssueEntry`` records from the fields ``dates``, ``mintages`` and ``issues`` of
one type's table. Years are civil. The notation of dates is that of ``series.dates.runs``.

>>> from series.entries.tables import Place
>>> problems = []
>>> raw = {"dates": "1931–32, 1947 S", "mintages": {"1947 S": 40000}}
>>> table = Table(raw, Place("t.toml", "type a"), problems)
>>> issues = read_issues(table, {"S": MarkText("S")})
>>> [(issue.key, issue.mintage) for issue in issues]
[('1931', None), ('1932', None), ('1947-s', 40000)]
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from series.dates.issue_keys import LONGEST, issue_key
from series.dates.runs import DatedIssue, parse_run
from series.dates.written import DateError
from series.entries.columns import columns
from series.entries.marks import date_fields, too_long
from series.entries.tables import IssueEntry, MarkText, ReferenceText, VarietyText
from series.packs.reading import Table

_MINTAGE = columns(IssueEntry)["mintage"].limits


@dataclass
class _Issue:
    """An issue while it is being put together."""

    dated: DatedIssue
    key: str = ""
    mintage: int | None = None
    references: tuple[ReferenceText, ...] = ()
    varieties: tuple[VarietyText, ...] = ()


def read_issues(table: Table, marks: Mapping[str, MarkText]) -> tuple[IssueEntry, ...]:
    """The issues of a type, by year of striking; ``marks`` by the ids used in dates."""
    issues = [_Issue(dated) for dated in _dates(table)]
    for item in table.tables("issues"):
        _more(item, issues)
    _mintages(table, issues)
    found = _entries(table, issues, marks)
    return tuple(sorted(found, key=lambda issue: issue.order))


def _dates(table: Table) -> list[DatedIssue]:
    if isinstance(table.raw.get("dates"), list):
        text = ", ".join(str(part) for part in table.list("dates"))
    else:
        text = table.text("dates")
    return _run(table, "dates", text)


def _run(table: Table, name: str, text: str) -> list[DatedIssue]:
    try:
        return parse_run(text)
    except DateError as error:
        table.problem(f"{table.path}{name}: {error}")
        return []


def _one(table: Table, name: str, text: str, issues: list[_Issue]) -> DatedIssue | None:
    """The single issue that a date names; of one in ``dates`` the date shown is enough."""
    shown = [
        issue.dated
        for issue in issues
        if text in (issue.dated.shown, f"{issue.dated.calendar} {issue.dated.shown}")
        and not issue.dated.marks
        and issue.dated.purpose == "circulation"
    ]
    if len(shown) == 1:
        return shown[0]
    dated = _run(table, name, text)
    if len(dated) > 1:
        table.problem(
            f"{table.path}{name} '{text}' names {len(dated)} issues: write one of them, "
            "such as 1947 S."
        )
    return dated[0] if len(dated) == 1 else None


def _matching(wanted: DatedIssue, issues: list[_Issue]) -> list[_Issue]:
    """The issues that a date written short may mean; years of striking and notes only decide
    where there are several."""
    found = [
        issue
        for issue in issues
        if (issue.dated.shown, issue.dated.calendar, issue.dated.purpose)
        == (wanted.shown, wanted.calendar, wanted.purpose)
        and sorted(issue.dated.marks) == sorted(wanted.marks)
        and wanted.note in ("", issue.dated.note)
    ]
    for narrower in (
        [i for i in found if (i.dated.struck_from, i.dated.struck_to)
         == (wanted.struck_from, wanted.struck_to)],
        [i for i in found if i.dated.note == wanted.note],
    ):  # fmt: skip
        if len(found) > 1 and narrower:
            found = [issue for issue in found if issue in narrower]
    return found


def _more(item: Table, issues: list[_Issue]) -> None:
    """Add what an ``issues`` table says to the issue it names, or a new issue."""
    text = item.text("date", needed=True)
    wanted = _one(item, "date", text, issues) if text else None
    note = item.text("note", 300)
    key = item.slug("key", LONGEST)
    mintage = item.whole("mintage", **_MINTAGE)
    references = read_references(item)
    varieties = _varieties(item)
    if wanted is None:
        if not text and item.raw.get("date") == "":
            item.problem(f'{item.path}date is empty: write date = "n.d. (1890–95)" if undated.')
        return
    found = _matching(wanted, issues)
    if len(found) > 1:
        item.problem(
            f"{item.path}date '{text}' may be any of {len(found)} issues: write its years of "
            "striking in brackets, or its note."
        )
        return
    issue = found[0] if found else _Issue(wanted)
    if not found:
        issues.append(issue)
    if note:
        issue.dated = replace(issue.dated, note=note)
    issue.key = key or issue.key
    issue.mintage = mintage if mintage is not None else issue.mintage
    issue.references += references
    issue.varieties += varieties


def read_references(table: Table) -> tuple[ReferenceText, ...]:
    """The field ``references`` of a type or an issue."""
    found = {reference for _row, reference in table.rows("references", ReferenceText)}
    return tuple(sorted(found, key=lambda each: (each.work, each.number, each.edition)))


def _mintages(table: Table, issues: list[_Issue]) -> None:
    raw = table.value("mintages") or {}
    if not isinstance(raw, dict):
        table.wrong("mintages", raw, 'write a table, mintages = { "1931" = 1200000 }.')
        return
    inner = table.inner("mintages", raw)
    for text in raw:
        mintage = inner.whole(text, **_MINTAGE)
        wanted = _one(table, "mintages", text, issues)
        if wanted is None or mintage is None:
            continue
        found = _matching(wanted, issues)
        if len(found) != 1:
            how = "no issue of dates" if not found else f"any of {len(found)} issues"
            table.problem(f"mintages '{text}' is {how}: write it as it stands in dates.")
            continue
        if found[0].mintage not in (None, mintage):
            table.problem(f"mintages '{text}' is given twice, as {found[0].mintage} and {mintage}.")
        found[0].mintage = mintage


def _varieties(item: Table) -> tuple[VarietyText, ...]:
    found: dict[str, VarietyText] = {}
    for _row, variety in item.rows("varieties", VarietyText):
        if variety.key in found:
            item.problem(
                f"{item.path}varieties has '{variety.key}' twice: give each a key of its own."
            )
        found.setdefault(variety.key, variety)
    return tuple(found[key] for key in sorted(found))


def _entries(table: Table, issues: list[_Issue], marks: Mapping[str, MarkText]) -> list[IssueEntry]:
    taken = {issue.key for issue in issues if issue.key}
    for key, count in Counter(issue.key for issue in issues if issue.key).items():
        if count > 1:
            table.problem(f"issues has the key '{key}' {count} times: leave out all but one.")
    positions: Counter[int | None] = Counter()
    found = []
    for issue in issues:
        dated = issue.dated
        known = [marks[mark] for mark in dated.marks if mark in marks]
        for mark in dated.marks:
            if mark not in marks:
                table.problem(
                    f"dates: '{dated.shown} {mark}' has a mark that is not among marks: add "
                    f'{{ text = "{mark}", side = "reverse" }} there, or "{mark}" alone.'
                )
        known.sort(key=lambda mark: mark.identity)
        texts = [mark.text for mark in known]
        key = issue.key or issue_key(dated, texts, taken)
        taken.add(key)
        entry = IssueEntry(
            key=key,
            **date_fields(dated),
            marks=tuple(mark.identity for mark in known),
            mintage=issue.mintage,
            position=positions[dated.struck_from],
            references=issue.references,
            varieties=issue.varieties,
        )
        positions[dated.struck_from] += 1
        _check(table, issue, texts)
        found.append(entry)
    return found


def _check(table: Table, issue: _Issue, texts: list[str]) -> None:
    for message in too_long(issue.dated, texts):
        table.problem(f"dates: {message}")
    if issue.dated.fact == "not_struck" and issue.mintage:
        table.problem(
            f"dates: '{issue.dated.shown}' is not struck, yet {issue.mintage} were made: "
            "take out one of the two."
        )
