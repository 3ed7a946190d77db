"""What is recorded of a type, handed to the rules that say what changed."""

from __future__ import annotations

from series.differences.facts import FaceFacts, LegendFacts, MarkFacts, TypeFacts, undated
from series.faces.models import Face
from series.metal.material import build_of, metal_words
from series.types.models import CoinType

BUILDS = {"layered": "in layers"}


def type_facts(coin_type: CoinType) -> TypeFacts:
    """The type as plain values; its faces, marks and issues prefetched (``with_design``)."""
    dates = {issue.shown for issue in coin_type.issues.all() if issue.shown}
    build = build_of(coin_type.composition)
    return TypeFacts(
        diameter_mm=coin_type.diameter_mm,
        thickness_mm=coin_type.thickness_mm,
        mass_g=coin_type.mass_g,
        metal=metal_words(coin_type.metal),
        composition=str(build) if build else coin_type.composition,
        build=BUILDS.get(build.kind, build.kind) if build else "",
        outline=coin_type.outline,
        sides=coin_type.sides or 0,
        hole=coin_type.hole,
        hole_mm=coin_type.hole_mm,
        ring_mm=coin_type.ring_mm,
        inner_panel=coin_type.inner_panel,
        edge=coin_type.edge,
        alignment=coin_type.alignment,
        faces=tuple(_face_facts(face, dates) for face in coin_type.faces.all()),
        marks=tuple(
            MarkFacts(mark.kind, mark.text, mark.side, mark.clock, mark.near)
            for mark in coin_type.marks.all()
        ),
    )


def _face_facts(face: Face, dates: set[str]) -> FaceFacts:
    legends = [LegendFacts(undated(x.text, dates), x.script) for x in face.legends.all()]
    motifs = tuple(shown.motif.name for shown in face.shown.all())
    people: dict[str, list[str]] = {"designer": [], "engraver": []}
    for credit in face.credits.all():
        people[credit.role].append(credit.person.name)
    return FaceFacts(
        side=face.side,
        known=bool(face.description or legends or motifs),
        legends=tuple(legend for legend in legends if legend.text),
        motifs=motifs,
        value_as=face.value_as,
        bust=face.bust,
        border=face.border,
        designers=tuple(people["designer"]),
        engravers=tuple(people["engraver"]),
    )
