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
from decimal import Decimal
from typing import Any

from series.packs.entries import (
    FaceText,
    IssueEntry,
    LegendText,
    MarkText,
    Place,
    Shown,
    TypeEntry,
)
from series.packs.issue_format import read_issues, read_references
from series.packs.reading import Problem, Table

PURPOSES = ("circulating", "commemorative", "pattern")
OUTLINES = ("round", "scalloped", "notched", "polygon", "curved", "square")
HOLES = ("round", "square")
CONVENTIONS = ("issuer", "custom", "ours")
ROLES = ("common", "national")
VALUES_AS = ("numeral", "words", "both")
BUSTS = ("left", "right", "facing")
BORDERS = ("none", "beaded", "toothed", "linear", "corded")
SIDES = ("obverse", "reverse", "edge")
MARK_KINDS = ("mint", "privy", "mint_master", "assayer", "signature")

_OWN = {"key", "name", "dates", "mintages", "issues", "years", "references", "like"}
"""What a type never takes over from a like one."""

RawType = tuple[Place, dict[str, Any], dict[str, Any]]


def read_types(raws: Sequence[RawType], problems: list[Problem]) -> tuple[TypeEntry, ...]:
    """The types in the order of their keys; those without a key are left out."""
    alike = _Alike(raws, problems)
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

    def __init__(self, raws: Sequence[RawType], problems: list[Problem]) -> None:
        self.raws = {raw[1].get("key"): raw for raw in raws if isinstance(raw[1].get("key"), str)}
        self.problems = problems

    def whole(self, place: Place, own: Mapping[str, Any], defaults: Mapping[str, Any]) -> Any:
        known, said = self._resolved(place, own, defaults, ())
        whole = {**_joined(known, said)}
        for side in SIDES:
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
        if name not in self.raws or name in seen:
            words = "is like itself in the end" if name in seen else "is no type of this pack"
            self.problems.append(
                Problem(place.file, place.record, f"like = {name!r}: that type {words}.")
            )
            return None
        return self.raws[name]


def _as_face(side: str, value: Any) -> Any:
    """An edge may be written as one text; what is no table is left for the reader to refuse."""
    if side == "edge" and isinstance(value, str):
        return {"finish": value}
    return value if isinstance(value, dict) else {"": value}


def _joined(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """``over`` laid on ``under``; faces field by field, unless they are like another face."""
    whole = {**under, **over}
    for side in SIDES:
        if side in under and side in over:
            upper = _as_face(side, over[side])
            if "like" not in upper:
                whole[side] = {**_as_face(side, under[side]), **upper}
    return whole


def _type(table: Table) -> TypeEntry:
    first, last = table.years()
    edge, edge_face = _edge(table)
    marks = _marks(table)
    issues: tuple[IssueEntry, ...] = read_issues(table, marks)
    if issues and table.raw.get("years"):
        table.problem("years come from the dates; take out 'years'.")
    table.value("like")
    return TypeEntry(
        **table.common(),
        series=table.slug("series", needed=True),
        denomination=table.slug("denomination", needed=True),
        name=table.text("name", 160),
        purpose=table.choice("purpose", PURPOSES, "circulating"),
        first_year=None if issues else first,
        last_year=None if issues else last,
        composition=table.text("composition", 200),
        outline=table.choice("outline", OUTLINES, "round"),
        sides=table.whole("sides", 3, 60, "the number of sides, scallops or indentations"),
        hole=table.choice("hole", HOLES),
        hole_mm=table.measure("hole_mm", "mm", 2, 1000),
        ring_mm=table.measure("ring_mm", "mm", 2, 1000),
        inner_panel=table.text("inner_panel", 60),
        edge=edge,
        mass_g=table.measure("mass_g", "g", 4, 10_000),
        remedy_g=table.measure("remedy_g", "g", 4, 1000),
        diameter_mm=table.measure("diameter_mm", "mm", 4, 1000),
        thickness_mm=table.measure("thickness_mm", "mm", 3, 100),
        alignment=table.whole("alignment", 1, 12, "hours (12 medal, 6 coin alignment)"),
        convention=table.choice("convention", CONVENTIONS),
        withdrawn_on=table.edtf("withdrawn_on", 40),
        tender_until=table.edtf("tender_until", 40, open_end=True),
        exchange_until=table.edtf("exchange_until", 40, open_end=True),
        exchange_where=table.text("exchange_where", 200),
        exchange_rate=table.text("exchange_rate", 120),
        note=table.text("note"),
        obverse=_face(table, "obverse"),
        reverse=_face(table, "reverse"),
        edge_face=edge_face,
        marks=tuple(sorted(marks.values(), key=lambda mark: mark.identity)),
        references=read_references(table),
        issues=issues,
    )


def _edge(table: Table) -> tuple[str, FaceText]:
    if not isinstance(table.raw.get("edge"), dict):
        return table.text("edge", 160), FaceText()
    inner = table.inner("edge", table.value("edge"))
    return inner.text("finish", 160), _face_of(inner)


def _face(table: Table, side: str) -> FaceText:
    raw = table.value(side) or {}
    if not isinstance(raw, dict):
        table.wrong(side, raw, f"write it as a table, [types.{side}].")
        return FaceText()
    return _face_of(table.inner(side, raw))


def _face_of(face: Table) -> FaceText:
    found = FaceText(
        role=face.choice("role", ROLES),
        description=face.text("description"),
        legends=tuple(_legends(face)),
        motifs=tuple(sorted((Shown(*pair) for pair in face.pairs("motifs", "motif", 300)),
                            key=lambda shown: shown.motif)),
        designers=tuple(sorted(face.slugs("designers", "person"))),
        engravers=tuple(sorted(face.slugs("engravers", "person"))),
        value_as=face.choice("value_as", VALUES_AS),
        bust=face.choice("bust", BUSTS),
        border=face.choice("border", BORDERS),
    )  # fmt: skip
    face.done()
    return found


def _legends(face: Table) -> list[LegendText]:
    found = []
    for item in face.list("legends"):
        if not isinstance(item, str | dict):
            face.wrong("legends", item, 'write "TEXT" or { text = "TEXT", script = "Arab" }.')
            continue
        legend = face.inner("legends", {"text": item} if isinstance(item, str) else item)
        text = legend.text("text", 300, needed=True)
        script = legend.matching("script", "[A-Z][a-z]{3}", "write an ISO 15924 code, like Arab.")
        found.append(
            LegendText(
                text,
                script or "Latn",
                legend.text("transliteration", 300),
                legend.text("translation", 300),
            )
        )
        legend.done()
    return found


def _marks(table: Table) -> dict[str, MarkText]:
    """The marks of a type by the ids that dates call them by."""
    found: dict[str, MarkText] = {}
    for item in table.list("marks"):
        if not isinstance(item, str | dict):
            table.wrong("marks", item, 'write { text = "S", side = "reverse" } or "S".')
            continue
        raw = table.inner("marks", {"text": item} if isinstance(item, str) else item)
        name, mark = _mark(raw, described=isinstance(item, dict))
        raw.done()
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


def _mark(raw: Table, *, described: bool) -> tuple[str, MarkText]:
    text = raw.text("text", 60, needed=True)
    if "+" in text and not described:
        raw.wrong("text", text, "a mark given by its text alone cannot hold a plus; write ✚.")
    mark = MarkText(
        text=text,
        side=raw.choice("side", SIDES),
        kind=raw.choice("kind", MARK_KINDS, "mint"),
        clock=_clock(raw),
        near=raw.text("near", 120),
        mint=raw.slug("mint"),
        person=raw.slug("person"),
        on_all=raw.yes("on_all"),
    )
    if described and not mark.side and not raw.raw.get("side"):
        raw.problem(
            f"{raw.path}side is missing for '{text}': write side = \"obverse\", reverse or edge, "
            "or the text in quotes alone where it is not known."
        )
    return raw.text("id", 60) or text, mark


def _clock(raw: Table) -> Decimal | None:
    value = raw.value("clock")
    if value is None or value == "":
        return None
    number = Decimal(value) if isinstance(value, int | Decimal) else None
    if number is None or not Decimal(1) <= number <= Decimal("12.75") or number * 4 % 1:
        raw.wrong("clock", value, "write hours from 1 to 12.75 in quarters, such as 6.25.")
        return None
    return number.normalize()
