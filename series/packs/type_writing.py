"""Write one type of a reference pack: measures, faces, marks and dates, as plain fields.

What is computed: the fields of a ``types`` table in the order in which they are written (see
``series.packs.writing``); the issues as a date run, with what does not fit into one apart.

>>> from series.entries.tables import IssueEntry
>>> issues = tuple(IssueEntry(str(y), str(y), "civil", y, y) for y in (1931, 1932))
>>> record = type_record(TypeEntry("a", series="s", denomination="d", issues=issues))
>>> {name: value for name, value in record.items() if value not in ("", None, [], {})}
{'key': 'a', 'series': 's', 'denomination': 'd', 'dates': '1931–32'}
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

from series.dates.issue_keys import issue_key
from series.dates.runs import DatedIssue, write_run
from series.entries.marks import dated_issue, mark_ids
from series.entries.tables import FACES, MarkText, TypeEntry
from series.packs.fields import Fields, of_entry, written
from series.packs.toml_text import WIDTH

_BESIDE_DATES = ("key", "mintage", "references", "varieties")
"""What is written of an issue beside its date."""


def type_record(entry: TypeEntry) -> Fields:
    """The fields of a type; empty ones are there and left out when they are written."""
    ids = mark_ids(entry.marks)
    fields = of_entry(entry, *FACES.values(), "marks", "issues")
    if face := written(entry.edge_face):
        fields["edge"] = {"finish": entry.edge, **face}
    return {
        **fields,
        "marks": [_mark(mark, ids[mark.identity]) for mark in entry.marks],
        **_issues(entry, ids),
        "obverse": written(entry.obverse),
        "reverse": written(entry.reverse),
    }


def _mark(mark: MarkText, name: str) -> str | Fields:
    if not mark.side:
        return mark.text
    fields = written(mark)
    if mark.clock is not None and mark.clock == int(mark.clock):
        fields["clock"] = int(mark.clock)
    return fields if name == mark.text else {"id": name, **fields}


def _issues(entry: TypeEntry, ids: dict[str, str]) -> Fields:
    texts = {mark.identity: mark.text for mark in entry.marks}
    dated = [dated_issue(issue, ids) for issue in entry.issues]
    if doubles := [run for run, count in Counter(dated).items() if count > 1]:
        raise ValueError(
            f"type {entry.key}: two issues are both {write_run(doubles[:1])}: tell them apart by "
            "a mark, a year of striking or a note."
        )
    with_key = _unusual_keys(entry, dated, texts)
    mintages: dict[str, int] = {}
    more: list[Fields] = []
    for issue, run in zip(entry.issues, dated, strict=True):
        alike = [r for r in dated if replace(r, note="") == replace(run, note="")]
        date = write_run([replace(run, note="", fact="struck") if len(alike) == 1 else run])
        own = {name: value for name, value in written(issue).items() if name in _BESIDE_DATES}
        if issue.key not in with_key:
            del own["key"]
        if own.keys() - {"mintage"}:
            more.append({"date": date, **own})
        elif issue.mintage is not None:
            mintages[date] = issue.mintage
    return {"dates": _wrapped(write_run(dated)), "mintages": mintages, "issues": more}


def _unusual_keys(entry: TypeEntry, dated: list[DatedIssue], texts: dict[str, str]) -> set[str]:
    """The keys that the reader would not make up again by itself."""
    explicit: set[str] = set()
    while True:
        taken = set(explicit)
        wrong = set()
        for issue, run in zip(entry.issues, dated, strict=True):
            if issue.key in explicit:
                continue
            made = issue_key(run, [texts[mark] for mark in issue.marks], taken)
            taken.add(made)
            if made != issue.key:
                wrong.add(issue.key)
        if not wrong:
            return explicit
        explicit |= wrong


def _wrapped(run: str) -> str:
    """A long date run over several lines, broken between issues only."""
    if len(run) < WIDTH - 12:
        return run
    lines = [""]
    for item in re.split(r', (?=(?:[^"]*"[^"]*")*[^"]*$)', run):
        if lines[-1] and len(lines[-1]) + len(item) > WIDTH - 4:
            lines.append("")
        lines[-1] += f"{item}, "
    return "\n".join(line.strip() for line in lines).rstrip(",")
