"""Read the types of a reference pack: measures, faces, marks and dates.

What is computed: ``TypeEntry`` records from tables of a pack (see ``series.packs.format``), with
what they take over from a like type, and their issues from date runs. Lengths in mm, masses in g,
clock and alignment in hours. The notation is this project's own.

>>> problems = []
>>> raw = {"key": "a", "series": "s", "denomination": "d", "marks": ["S"], "dates": "1947 S"}
>>> types = read_types([(Place("t.toml", "type a"), raw, {})], problems)
>>> [(issue.key, issue.marks) for issue in types[0].issues], problems
([('1947-s', ('S',))], [])
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from series.entries.choices import Side
from series.entries.columns import columns
from series.entries.tables import FaceText, LegendText, MarkText, Place, Shown, TypeEntry
from series.packs.issue_format import read_issues, read_references
from series.packs.reading import Problem, Table
from series.packs.type_writing import type_record

LONGEST_EDGE = columns(TypeEntry)["edge"].limits["longest"]
_OWN = {"key", "name", "dates", "mintages", "issues", "years", "references", "like"}
"""What a type never takes over from a like one."""

RawType = tuple[Place, dict[str, Any], dict[str, Any]]


def read_types(
    raws: Sequence[RawType], problems: list[Problem], needed: Mapping[str, TypeEntry] | None = None
) -> tuple[TypeEntry, ...]:
    """The types in the order of their keys; those without a key are left out.

    ``needed`` are types of another pack that these may be like.
    """
    alike = _Alike(raws, problems, needed or {})
    found: dict[str, TypeEntry] = {}
    for place, own, defaults in raws:
        table = Table(alike.whole(place, own, defaults), place, problems)
        entry = _type(table)
        table.done()
        if entry.key:
            found.setdefault(entry.key, entry)
    return tuple(found[key] for key in sorted(found))


class _Alike:
    """What each type says, with what it takes over by ``like`` and from its file's defaults."""

    def __init__(
        self, raws: Sequence[RawType], problems: list[Problem], needed: Mapping[str, TypeEntry]
    ) -> None:
        own = {raw[1].get("key"): raw for raw in raws if isinstance(raw[1].get("key"), str)}
        self.raws = {key: _elsewhere(entry) for key, entry in needed.items()} | own
        self.problems = problems

    def whole(self, place: Place, own: Mapping[str, Any], defaults: Mapping[str, Any]) -> Any:
        known, said = self._resolved(place, own, defaults, ())
        whole = {**_joined(known, said)}
        for side in Side:
            if isinstance(face := whole.get(side), dict) and "like" in face:
                whole[side] = self._face(place, face, side, ())
        return whole

    def _resolved(
        self,
        place: Place,
        own: Mapping[str, Any],
        defaults: Mapping[str, Any],
        seen: tuple[str, ...],
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        """The defaults that hold for a type, and what is said of it or of those it is like."""
        said = {name: value for name, value in own.items() if name != "like"}
        name = own.get("like")
        other = self._other(place, name, seen) if name is not None else None
        if other is None:
            return dict(defaults), said
        known, theirs = self._resolved(place, other[1], other[2], (*seen, str(name)))
        taken = {field: value for field, value in theirs.items() if field not in _OWN}
        return _joined(known, defaults), _joined(taken, said)

    def _face(self, place: Place, face: dict[str, Any], side: str, seen: tuple[str, ...]) -> Any:
        said = {name: value for name, value in face.items() if name != "like"}
        name = face.get("like")
        other = self._other(place, name, seen)
        if other is None:
            return said
        theirs = _joined(*self._resolved(place, other[1], other[2], (str(name),))).get(side, {})
        if isinstance(theirs, dict) and "like" in theirs:
            theirs = self._face(place, theirs, side, (*seen, str(name)))
        return {**_as_face(side, theirs), **said}

    def _other(self, place: Place, name: Any, seen: tuple[str, ...]) -> RawType | None:
        if not isinstance(name, str) or name not in self.raws or name in seen:
            words = "is no type of this pack or of the one it needs"
            if name in seen:
                words = "is like itself in the end"
            self.problems.append(
                Problem(place.file, place.record, f"like = {name!r}: that type {words}.")
            )
            return None
        return self.raws[name]


def _elsewhere(entry: TypeEntry) -> RawType:
    """A type of another pack as what holds where nothing is said, not even in a file's defaults."""
    said = {name: value for name, value in type_record(entry).items() if name not in _OWN}
    return Place("", f"type {entry.key}"), {}, said


def _as_face(side: str, value: Any) -> Any:
    """An edge may be written as one text; what is no table is left for the reader to refuse."""
    if side == "edge" and isinstance(value, str):
        return {"finish": value}
    return value if isinstance(value, dict) else {"": value}


def _joined(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """``over`` laid on ``under``; faces field by field, unless they are like another face."""
    whole = {**under, **over}
    for side in Side:
        if side in under and side in over:
            upper = _as_face(side, over[side])
            if "like" not in upper:
                whole[side] = {**_as_face(side, under[side]), **upper}
    return whole


def _type(table: Table) -> TypeEntry:
    edge_face = _edge_face(table)
    fields = table.fields(TypeEntry)
    marks = _marks(table)
    issues = read_issues(table, marks)
    if issues:
        fields |= {"first_year": None, "last_year": None}
        if table.raw.get("years"):
            table.problem("years come from the dates; take out 'years'.")
    table.value("like")
    return TypeEntry(
        **fields,
        place=table.place,
        obverse=_face(table, "obverse"),
        reverse=_face(table, "reverse"),
        edge_face=edge_face,
        marks=tuple(sorted(marks.values(), key=lambda mark: mark.identity)),
        references=read_references(table),
        issues=issues,
    )


def _edge_face(table: Table) -> FaceText:
    """What an edge shows, where it is written as a table; its finish stands as a text from now."""
    edge = table.raw.get("edge")
    if not isinstance(edge, dict):
        return FaceText()
    face = table.inner("edge", edge)
    finish = face.text("finish", LONGEST_EDGE)
    table.raw = {**table.raw, "edge": finish[:LONGEST_EDGE]}
    return _face_of(face)


def _face(table: Table, side: str) -> FaceText:
    raw = table.value(side) or {}
    if not isinstance(raw, dict):
        table.wrong(side, raw, f"write it as a table, [types.{side}].")
        return FaceText()
    return _face_of(table.inner(side, raw))


def _face_of(face: Table) -> FaceText:
    how = 'write "TEXT" or { text = "TEXT", script = "Arab" }.'
    found = FaceText(
        **face.fields(FaceText),
        legends=tuple(legend for _row, legend in face.rows("legends", LegendText, "text", how)),
        motifs=tuple(Shown(*pair) for pair in sorted(face.pairs("motifs", "motif", 300))),
    )
    face.done()
    return found


def _marks(table: Table) -> dict[str, MarkText]:
    """The marks of a type by the ids that dates call them by."""
    found: dict[str, MarkText] = {}
    how = 'write { text = "S", side = "reverse" } or "S".'
    for row, mark in table.rows("marks", MarkText, "text", how):
        name = row.text("id", 60) or mark.text
        _check_mark(row, mark)
        if not mark.text:
            continue
        if name in found:
            table.problem(
                f"marks has two called '{name}': give each an id of its own, and use it in dates."
            )
        elif any(mark.identity == other.identity for other in found.values()):
            table.problem(f"marks has '{mark.text}' of one kind twice on one face: leave one out.")
        found.setdefault(name, mark)
    return found


def _check_mark(row: Table, mark: MarkText) -> None:
    if row.is_short and "+" in mark.text:
        row.wrong("text", mark.text, "a mark given by its text alone cannot hold a plus; write ✚.")
    if not row.is_short and not row.raw.get("side"):
        row.problem(
            f"{row.path}side is missing for '{mark.text}': write side = \"obverse\", reverse or "
            "edge, or the text in quotes alone where it is not known."
        )
