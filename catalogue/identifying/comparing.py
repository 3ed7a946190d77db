"""Two candidates side by side: what differs, what is the same, how the evidence stands to each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from catalogue.identifying.shown_answer import CandidateRow
from series.differences.changes import changes
from series.differences.facts import Change, FaceFacts, TypeFacts
from series.differences.marks import MARK_KINDS
from series.identifying.answer import Candidate, Look, Reason
from series.identifying.evidence import Evidence
from series.identifying.ranking import identify
from series.identifying.table import TypeTable
from series.identifying.weighing import Weighing
from series.models import CoinType
from series.text.english import alignment_words, listed, outline_words
from series.text.words import plain, years_text
from series.types.recorded import type_facts

Mask = NDArray[np.bool_]

_UNITS = {"diameter": "mm", "thickness": "mm", "hole size": "mm", "ring size": "mm", "mass": "g"}
_SIDES = ("obverse", "reverse", "edge")


@dataclass(frozen=True)
class Line:
    """One thing of both: what it is, what the one has and the other; ``more`` beside the other."""

    label: str
    one: str
    other: str
    more: str = ""


@dataclass(frozen=True)
class Compared:
    """``stands`` holds the reasons of the one and the other for each kind of evidence."""

    rows: tuple[CandidateRow, CandidateRow]
    different: list[Line]
    same: list[tuple[str, str]]
    of_one: list[Line]
    stands: list[tuple[Reason, Reason]]
    apart: Look | None

    @property
    def alike(self) -> bool:
        """Whether both are called the same, so that their series must be said."""
        return self.rows[0].candidate.label == self.rows[1].candidate.label

    @property
    def field_apart(self) -> str:
        """The field of the page that takes what would tell the two apart."""
        kind = self.apart.kind if self.apart else ""
        return "water" if kind == "density" else kind


def compare(
    table: TypeTable,
    evidence: Evidence,
    types: tuple[CoinType, CoinType],
    *,
    visible: Mask | None,
    tools: tuple[str, ...],
) -> Compared:
    """Compare two types of the table (``with_design``). Runs no query."""
    posterior = Weighing.of(table, evidence).posterior(visible)
    numbers = [table.numbers[each.pk] for each in types]
    rows = tuple(
        CandidateRow(_candidate(table, evidence, n, float(posterior.types[n])), each)
        for n, each in zip(numbers, types, strict=True)
    )
    both = np.isin(np.arange(len(table)), numbers)
    one, other = (type_facts(each) for each in types)
    told = [*_by_name(*types), *_recorded(one, other)]
    found = changes(one, other)
    changed = {_key(change) for change in found}
    return Compared(
        rows=(rows[0], rows[1]),
        different=[*_names_that_differ(*types), *map(_line, found)],
        same=[(each.label, each.one) for each in told if each.one and each.one == each.other],
        of_one=[
            each
            for each in told
            if bool(each.one) != bool(each.other) and each.label.lower() not in changed
        ],
        stands=list(zip(rows[0].candidate.reasons, rows[1].candidate.reasons, strict=True)),
        apart=identify(table, evidence, eligible=both, top=1, tools=tools, none_prior=0).next,
    )


def _candidate(table: TypeTable, evidence: Evidence, number: int, chance: float) -> Candidate:
    alone = np.arange(len(table)) == number
    found = identify(table, evidence, eligible=alone, top=1, tools=(), none_prior=0)
    return replace(found.candidates[0], probability=chance)


def _by_name(one: CoinType, other: CoinType) -> Iterator[Line]:
    """What the types are called and when they were struck."""

    def line(label: str, *texts: str) -> Line:
        return Line(label, *texts)

    both = (one, other)
    yield line(_("Country"), *(each.series.issuer.name for each in both))
    yield line(_("Denomination"), *(each.denomination.name for each in both))
    yield line(_("Series"), *(each.series.name for each in both))
    yield line(_("Years"), *(years_text(t.first_year, t.last_year, short=False) for t in both))


def _names_that_differ(one: CoinType, other: CoinType) -> list[Line]:
    return [
        each for each in _by_name(one, other) if each.one and each.other and each.one != each.other
    ]


def _line(change: Change) -> Line:
    unit = _UNITS.get(change.kind, "")
    texts = (change.before, change.after)
    was, now = (f"{each}\u00a0{unit}" if unit and each else each or _("none") for each in texts)
    return Line(_label(change), was, now, change.words if unit else "")


def _label(change: Change) -> str:
    kind = change.kind.capitalize()
    for mark, name in MARK_KINDS.items():
        if change.kind.startswith(mark):
            kind = name.capitalize() + change.kind.removeprefix(mark).removesuffix(" text")
    if change.side in _SIDES:
        return f"{kind}, {change.side}"
    return f"{kind}: {change.side}" if change.side else kind


def _key(change: Change) -> str:
    return _label(change).lower()


def _face(facts: TypeFacts, side: str) -> FaceFacts:
    return next((face for face in facts.faces if face.side == side), FaceFacts(side))


def _recorded(one: TypeFacts, other: TypeFacts) -> Iterator[Line]:
    """What the records say of each, in the words and under the names of the changes."""
    both = (one, other)

    def amount(name: str, unit: str) -> tuple[str, ...]:
        values = (getattr(facts, name) for facts in both)
        return tuple(f"{plain(v)}\u00a0{unit}" if v is not None else "" for v in values)

    def text(name: str) -> tuple[str, ...]:
        return tuple(getattr(facts, name) for facts in both)

    yield Line(_("Diameter"), *amount("diameter_mm", "mm"))
    yield Line(_("Metal"), *text("metal"))
    yield Line(_("Composition"), *text("composition"))
    yield Line(_("Outline"), *(outline_words(f.outline, f.sides) for f in both))
    yield Line(_("Hole"), *text("hole"))
    yield Line(_("Panel"), *text("inner_panel"))
    yield Line(_("Edge"), *text("edge"))
    yield Line(_("Mass"), *amount("mass_g", "g"))
    yield Line(_("Thickness"), *amount("thickness_mm", "mm"))
    turned = ("" if f.alignment is None else alignment_words(f.alignment) for f in both)
    yield Line(_("Alignment"), *turned)
    for side in _SIDES:
        faces = [_face(facts, side) for facts in both]
        yield Line(f"{_('Motif')}, {side}", *(listed(face.motifs) for face in faces))
        legends = (listed(f"“{each.text}”" for each in face.legends) for face in faces)
        yield Line(f"{_('Legend')}, {side}", *legends)
