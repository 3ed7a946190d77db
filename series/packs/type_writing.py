"""Write one type of a reference pack: measures, faces, marks and dates, as plain fields.

What is computed: the fields of a ``types`` table in the order in which they are written (see
``series.packs.writing``); the issues as a date run, with what does not fit into one apart.

>>> from series.packs.entries import IssueEntry
>>> issues = tuple(IssueEntry(str(y), str(y), "civil", y, y) for y in (1931, 1932))
>>> record = type_record(TypeEntry("a", series="s", denomination="d", issues=issues))
>>> {name: value for name, value in record.items() if value not in ("", None, [], {})}
{'key': 'a', 'series': 's', 'denomination': 'd', 'dates': '1931–32'}
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import Any

from series.dates.issue_keys import issue_key
from series.dates.runs import DatedIssue, write_run
from series.packs.entries import Entry, FaceText, IssueEntry, MarkText, ReferenceText, TypeEntry
from series.packs.toml_text import WIDTH

Fields = dict[str, Any]


def years(first: int | None, last: int | None) -> str:
    """``1931–59``, ``1931``, ``1999–``, ``–1890`` or "" for neither.

    >>> years(1931, 1959), years(1999, None), years(1931, 1931), years(1899, 1904)
    ('1931–59', '1999–', '1931', '1899–1904')
    """
    if first is None or last is None:
        return "" if first is None and last is None else f"{first or ''}–{last or ''}"
    if first == last:
        return str(first)
    short = first // 100 == last // 100 and first >= 100
    return f"{first}–{last % 100:02}" if short else f"{first}–{last}"


def citations(entry: Entry) -> list[str]:
    return [
        f"{cited.source}: {cited.where}" if cited.where else cited.source
        for cited in entry.citations
    ]


def type_record(entry: TypeEntry) -> Fields:
    """The fields of a type; empty ones are there and left out when they are written."""
    ids = mark_ids(entry.marks)
    return {
        "key": entry.key,
        "series": entry.series,
        "denomination": entry.denomination,
        "name": entry.name,
        "purpose": "" if entry.purpose == "circulating" else entry.purpose,
        "years": years(entry.first_year, entry.last_year),
        "composition": entry.composition,
        "outline": "" if entry.outline == "round" else entry.outline,
        "sides": entry.sides,
        "hole": entry.hole,
        "hole_mm": entry.hole_mm,
        "ring_mm": entry.ring_mm,
        "inner_panel": entry.inner_panel,
        "edge": _edge(entry),
        "mass_g": entry.mass_g,
        "remedy_g": entry.remedy_g,
        "diameter_mm": entry.diameter_mm,
        "thickness_mm": entry.thickness_mm,
        "alignment": entry.alignment,
        "convention": entry.convention,
        "withdrawn_on": entry.withdrawn_on,
        "tender_until": entry.tender_until,
        "exchange_until": entry.exchange_until,
        "exchange_where": entry.exchange_where,
        "exchange_rate": entry.exchange_rate,
        "note": entry.note,
        "references": [_reference(each) for each in entry.references],
        "citations": citations(entry),
        "marks": [_mark(mark, ids[mark.identity]) for mark in entry.marks],
        **_issues(entry, ids),
        "obverse": _face(entry.obverse),
        "reverse": _face(entry.reverse),
    }


def _edge(entry: TypeEntry) -> str | Fields:
    face = _face(entry.edge_face)
    return {"finish": entry.edge, **face} if face else entry.edge


def _face(face: FaceText) -> Fields:
    fields = {
        "role": face.role,
        "description": face.description,
        "legends": [
            legend.text
            if (legend.script, legend.transliteration, legend.translation) == ("Latn", "", "")
            else filled(
                text=legend.text,
                script="" if legend.script == "Latn" else legend.script,
                transliteration=legend.transliteration,
                translation=legend.translation,
            )
            for legend in face.legends
        ],
        "motifs": [
            f"{each.motif}: {each.note}" if each.note else each.motif for each in face.motifs
        ],
        "designers": list(face.designers),
        "engravers": list(face.engravers),
        "value_as": face.value_as,
        "bust": face.bust,
        "border": face.border,
    }
    return {name: value for name, value in fields.items() if value}


def filled(**fields: Any) -> Fields:
    """The fields that say something."""
    return {name: value for name, value in fields.items() if value not in ("", None)}


def _reference(each: ReferenceText) -> Fields:
    return filled(work=each.work, edition=each.edition, number=each.number)


def mark_ids(marks: tuple[MarkText, ...]) -> dict[str, str]:
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


def _mark(mark: MarkText, name: str) -> str | Fields:
    if not mark.side:
        return mark.text
    clock = mark.clock
    return filled(
        id="" if name == mark.text else name,
        text=mark.text,
        kind="" if mark.kind == "mint" else mark.kind,
        mint=mark.mint,
        person=mark.person,
        side=mark.side,
        clock=int(clock) if clock is not None and clock == int(clock) else clock,
        near=mark.near,
        on_all=mark.on_all or None,
    )


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
        own_key = issue.key if issue.key in with_key else ""
        if own_key or issue.references or issue.varieties:
            more.append(
                filled(date=date, key=own_key, mintage=issue.mintage)
                | {"references": [_reference(each) for each in issue.references],
                   "varieties": [filled(key=v.key, name=v.name, description=v.description)
                                 for v in issue.varieties]}
            )  # fmt: skip
        elif issue.mintage is not None:
            mintages[date] = issue.mintage
    return {"dates": _wrapped(write_run(dated)), "mintages": mintages, "issues": more}


def dated_issue(issue: IssueEntry, ids: dict[str, str]) -> DatedIssue:
    return DatedIssue(
        shown=issue.shown,
        struck_from=issue.struck_from,
        struck_to=issue.struck_to,
        marks=tuple(ids[mark] for mark in issue.marks),
        purpose=issue.purpose,  # type: ignore[arg-type]
        fact=issue.fact,  # type: ignore[arg-type]
        calendar=issue.calendar,
        note=issue.note,
    )


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
