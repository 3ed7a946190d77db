"""Motifs and people, and the coins that show or name them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Exists, OuterRef, QuerySet

from series.faces.broader import broader_motifs, narrower_motifs
from series.faces.models import Face, FaceMotif, Motif, Person
from series.issuers.models import Issuer
from series.reaching import reached
from series.text.english import listed
from series.types.models import CoinType
from series.types.queries import in_order, standing_types, with_dates, with_pictures


@dataclass
class ShownOn:
    """A coin that shows a motif: on which faces, with which notes, by which (narrower) motif."""

    coin_type: CoinType
    sides: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    motifs: list[Motif] = field(default_factory=list)

    @property
    def side(self) -> str:
        """The face to picture."""
        return self.sides[0] if self.sides else ""

    @property
    def said(self) -> list[str]:
        """What is shown and where, and each note: a line each."""
        motifs = ", ".join(motif.name for motif in self.motifs)
        sides = ", ".join(str(Face(side=side)) for side in self.sides)
        return [f"{motifs} · {sides}", *self.notes]


@dataclass
class MotifOfCountry:
    motif: Motif
    coins: list[ShownOn]


def with_narrower(motif: Motif) -> set[int]:
    """The ids of a motif and of all narrower ones."""
    return set(reached([motif.pk], narrower_motifs()))


def motifs_of(issuer: Issuer) -> list[MotifOfCountry]:
    """Every motif on a country's coins or broader than one, by name, with its coins in order."""
    showing = standing_types().filter(
        Exists(FaceMotif.objects.filter(face__coin_type=OuterRef("pk")))
    )
    types = {t.pk: t for t in in_order(with_pictures(showing).filter(series__issuer=issuer))}
    direct: dict[int, list[FaceMotif]] = defaultdict(list)
    shown = FaceMotif.objects.filter(face__coin_type__series__issuer=issuer).select_related(
        "motif", "face"
    )
    broader = broader_motifs()
    for one in shown.order_by("face__side"):
        if one.face.coin_type_id in types:
            for motif_id in reached([one.motif_id], broader):
                direct[motif_id].append(one)
    motifs = Motif.objects.filter(pk__in=direct)
    return [MotifOfCountry(motif, _coins(direct[motif.pk], types)) for motif in motifs]


def _coins(shown: Iterable[FaceMotif], types: dict[int, CoinType]) -> list[ShownOn]:
    found: dict[int, ShownOn] = {}
    for one in shown:
        on = found.setdefault(one.face.coin_type_id, ShownOn(types[one.face.coin_type_id]))
        if one.face.side not in on.sides:
            on.sides.append(one.face.side)
        if one.motif not in on.motifs:
            on.motifs.append(one.motif)
        if one.note and one.note not in on.notes:
            on.notes.append(one.note)
    place = {pk: n for n, pk in enumerate(types)}
    return sorted(found.values(), key=lambda on: place[on.coin_type.pk])


def types_showing(motif_ids: set[int]) -> QuerySet[CoinType]:
    """Standing types with one of the motifs on a face, by country and year."""
    shown = FaceMotif.objects.filter(
        face__coin_type=OuterRef("pk"), motif__in=motif_ids, face__deleted_at__isnull=True
    )
    return _by_country(standing_types().filter(Exists(shown)))


def shown_on(types: list[CoinType], motif_ids: set[int]) -> list[ShownOn]:
    """How the motifs stand on these types, in the order given. One query."""
    by_id = {coin_type.pk: coin_type for coin_type in types}
    shown = (
        FaceMotif.objects.filter(face__coin_type__in=by_id, motif__in=motif_ids)
        .select_related("motif", "face")
        .order_by("face__side")
    )
    return _coins(shown, by_id)


def types_by(person: Person) -> QuerySet[CoinType]:
    """Standing types a person designed, engraved or is named on by a mark."""
    faces = Face.objects.filter(coin_type=OuterRef("pk"), credits__person=person)
    marks = person.mark_set.filter(coin_type=OuterRef("pk"))
    return _by_country(standing_types().filter(Exists(faces) | Exists(marks)))


@dataclass
class Work:
    """A coin and what a person did for it, a line for each."""

    coin_type: CoinType
    said: list[str] = field(default_factory=list)
    side: str = ""


def work_of(person: Person, types: list[CoinType]) -> list[Work]:
    """What a person did for each of these types, in the order given. Two queries."""
    works = {coin_type.pk: Work(coin_type) for coin_type in types}
    sides: dict[tuple[int, str], list[str]] = defaultdict(list)
    credits = person.credits.filter(face__coin_type__in=works).select_related("face")
    for credit in credits.order_by("role", "face__side"):
        work = works[credit.face.coin_type_id]
        work.side = work.side or credit.face.side
        sides[credit.face.coin_type_id, str(credit.get_role_display())].append(
            str(credit.face.get_side_display())
        )
    for (type_id, role), names in sides.items():
        works[type_id].said.append(f"{role}, {listed(names)}")
    for mark in person.mark_set.filter(coin_type__in=works):
        works[mark.coin_type_id].said.append(f"{mark.get_kind_display()} {mark.text}")
    return list(works.values())


def _by_country(types: QuerySet[CoinType]) -> QuerySet[CoinType]:
    return with_pictures(with_dates(types)).order_by(
        "series__issuer__name", "series__issuer_id", "first_year", "series__first_year", "key"
    )
