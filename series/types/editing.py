"""A type as a page edits it: its parts as texts, and the saving of all of them at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from series.entries.choices import Side
from series.entries.columns import columns
from series.entries.stored import stored
from series.entries.stored_types import StoredType, mark_identity
from series.entries.tables import FaceText, LegendText, MarkText, ReferenceText
from series.models import (
    CoinType,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Issuer,
    Legend,
    Mark,
    Mint,
    Motif,
    Person,
    Source,
)
from series.signals import types_changed
from series.text.keys import free_key
from series.types.dates_editing import DatesPlan, dates_text, save_dates, stored_type
from series.types.derived import derive_types
from series.types.lines import (
    write_citations,
    write_legends,
    write_marks,
    write_motifs,
    write_references,
)

SIDES = tuple(side.value for side in Side)
PLAIN_OF_FACE = tuple(n for n, column in columns(FaceText).items() if not column.names)
N = TypeVar("N", Motif, Person, Mint)


@dataclass(frozen=True)
class TypeParts:
    """What is said of a type beside its own columns. Motifs, people and mints by name.

    ``faces`` holds what is said of each, by side and field; the other fields stay as they are.
    """

    faces: Mapping[str, Mapping[str, Any]]
    marks: tuple[MarkText, ...]
    dates: DatesPlan
    references: tuple[ReferenceText, ...]
    citations: tuple[tuple[str, str], ...]


# ---- what is stored, as texts ----
def type_texts(coin_type: CoinType, stored: StoredType | None = None) -> dict[str, str]:
    """The parts of a type as the texts of its form. A constant number of queries."""
    stored = stored or stored_type(coin_type)
    faces = {
        face.side: face
        for face in Face.objects.filter(coin_type=coin_type).prefetch_related(
            "legends", "shown__motif", "credits__person"
        )
    }
    texts: dict[str, str] = {}
    for side in SIDES:
        texts |= {f"{side}_{name}": text for name, text in _face_texts(faces.get(side)).items()}
    titles = dict(Source.objects.values_list("key", "title"))
    cited = [
        (titles.get(each["source"], each["source"]), each.get("where", ""))
        for each in coin_type.citations
    ]
    return texts | {
        "marks": write_marks(named_marks(coin_type)),
        "dates": dates_text(stored),
        "references": write_references(stored.entry.references),
        "citations": write_citations(cited),
    }


def _face_texts(face: Face | None) -> dict[str, str]:
    if face is None:
        return {}
    texts = {name: getattr(face, name) for name in PLAIN_OF_FACE}
    texts["legends"] = write_legends(face_legends(face))
    shown = sorted(face.shown.all(), key=lambda each: each.pk)
    texts["motifs"] = write_motifs((each.motif.name, each.note) for each in shown)
    for role in ("designer", "engraver"):
        names = [c.person.name for c in face.credits.all() if c.role == role]
        texts[f"{role}s"] = "; ".join(names)
    return texts


def face_legends(face: Face) -> list[LegendText]:
    return [stored(LegendText, each) for each in face.legends.all()]


def named_marks(coin_type: CoinType) -> list[MarkText]:
    """The marks of a type with the names of their mints and people."""
    return [
        stored(
            MarkText,
            mark,
            mint=mark.mint.name if mark.mint else "",
            person=mark.person.name if mark.person else "",
        )
        for mark in coin_type.marks.select_related("mint", "person")
    ]


# ---- saving ----
def save_parts(coin_type: CoinType, words: TypeParts) -> None:
    """Save all parts of a type that is saved itself; call it in the same transaction.

    Motifs, people, mints and sources that no record has yet are made. What the parts imply is
    derived anew, and the change announced.
    """
    for side, said in words.faces.items():
        _save_face(coin_type, side, said)
    _save_marks(coin_type, words.marks)
    save_dates(coin_type, words.dates)
    _drop_marks(coin_type, words.marks)
    save_references(coin_type, words.references)
    _save_citations(coin_type, words.citations)
    settle([coin_type.pk])


def settle(type_ids: list[int]) -> None:
    """Derive anew what the records of these types imply, and announce that they changed."""
    derive_types(type_ids)
    types_changed.send(sender=CoinType, type_ids=type_ids)


def _save_face(coin_type: CoinType, side: str, said: Mapping[str, Any]) -> None:
    face = Face.everything.filter(coin_type=coin_type, side=side).first()
    if face is None:
        if side == "edge" and not any(said.values()):
            return
        face = Face(coin_type=coin_type, side=side)
    changed = face.pk is None or face.deleted_at is not None
    face.deleted_at = None
    for name in PLAIN_OF_FACE:
        if name in said and getattr(face, name) != said[name]:
            setattr(face, name, said[name])
            changed = True
    if changed:
        face.save()
    if "legends" in said and list(said["legends"]) != face_legends(face):
        face.legends.all().delete()
        Legend.objects.bulk_create(
            Legend(face=face, position=position, **vars(each))
            for position, each in enumerate(said["legends"])
        )
    if "motifs" in said:
        _save_motifs(face, said["motifs"])
    for role in ("designer", "engraver"):
        if f"{role}s" in said:
            _save_people(face, role, said[f"{role}s"])


def _save_motifs(face: Face, said: tuple[tuple[str, str], ...]) -> None:
    before = list(face.shown.select_related("motif").order_by("pk"))
    if [(each.motif.name, each.note) for each in before] == list(said):
        return
    find = finder(Motif, [each.motif for each in before])
    notes: dict[int, str] = {}
    for name, note in said:
        motif = find(name)
        notes[motif.pk] = notes.get(motif.pk) or note
    face.shown.all().delete()
    FaceMotif.objects.bulk_create(
        FaceMotif(face=face, motif_id=pk, note=note) for pk, note in notes.items()
    )


def _save_people(face: Face, role: str, names: tuple[str, ...]) -> None:
    before = list(face.credits.filter(role=role).select_related("person").order_by("pk"))
    if [each.person.name for each in before] == list(names):
        return
    find = finder(Person, [each.person for each in before])
    people = {person.pk: person for person in map(find, names)}
    face.credits.filter(role=role).delete()
    FacePerson.objects.bulk_create(
        FacePerson(face=face, person=person, role=role) for person in people.values()
    )


def finder(
    model: type[N], known: Iterable[N] = (), issuer: Issuer | None = None
) -> Callable[[str], N]:
    """A function from a name to the record of that name, made if there is none.

    Capitals do not tell names apart; of several that fit, one of ``known`` is taken first, then
    one of the issuer, then the oldest.
    """
    records = list(known)
    manager: Any = model.objects
    for pk, name in manager.order_by("pk").values_list("pk", "name"):
        records.append(model(pk=pk, name=name))
    by_name: dict[str, N] = {}
    for record in records:
        by_name.setdefault(_plainly(record.name), record)
    if issuer is not None and model is Mint:
        for mint in Mint.objects.filter(issuer=issuer).order_by("-pk"):
            by_name[_plainly(mint.name)] = mint  # type: ignore[assignment]

    def find(name: str) -> N:
        plainly = _plainly(name)
        if plainly not in by_name:
            fields = {"issuer": issuer} if model is Mint else {}
            before = [issuer.key] if model is Mint and issuer is not None else []
            key = free_key(model, *before, name)
            by_name[plainly] = manager.create(key=key, name=name, **fields)
        return by_name[plainly]

    return find


def _plainly(name: str) -> str:
    return " ".join(name.casefold().split())


def _save_marks(coin_type: CoinType, said: tuple[MarkText, ...]) -> None:
    before = {mark_identity(m): m for m in coin_type.marks.select_related("mint", "person")}
    issuer = coin_type.series.issuer
    mint_of = finder(Mint, [m.mint for m in before.values() if m.mint], issuer)
    person_of = finder(Person, [m.person for m in before.values() if m.person])
    for text in said:
        mark = before.get(text.identity) or Mark(
            coin_type=coin_type, kind=text.kind, text=text.text, side=text.side
        )
        mark.clock, mark.near, mark.on_all = text.clock, text.near, text.on_all
        # A line names the mint or the person, by its kind; the other one stays.
        if text.kind in ("mint", "privy"):
            mark.mint = mint_of(text.mint) if text.mint else None
        else:
            mark.person = person_of(text.person) if text.person else None
        mark.save()


def _drop_marks(coin_type: CoinType, said: tuple[MarkText, ...]) -> None:
    names = {mark.identity for mark in said}
    gone = [mark.pk for mark in coin_type.marks.all() if mark_identity(mark) not in names]
    if gone:
        Mark.objects.filter(pk__in=gone).delete()


def save_references(owner: CoinType | Issue, said: tuple[ReferenceText, ...]) -> None:
    """Make the references of a type or an issue these."""
    before = {stored(ReferenceText, record): record for record in owner.references.all()}
    for reference, record in before.items():
        if reference not in said:
            record.delete()
    for reference in said:
        if reference not in before:
            owner.references.create(**vars(reference))


def source_names() -> list[str]:
    """What a citation may begin with: the titles and keys of all sources."""
    return [name for pair in Source.objects.values_list("title", "key") for name in pair]


def _save_citations(coin_type: CoinType, said: tuple[tuple[str, str], ...]) -> None:
    known: dict[str, str] = {}
    for key, title in Source.objects.order_by("-pk").values_list("key", "title"):
        known[title] = key
        known[key] = key
    for citation in coin_type.citations:  # a source that is named, but not described
        known.setdefault(citation["source"], citation["source"])
    citations = []
    for name, where in said:
        if name not in known:
            known[name] = Source.objects.create(key=free_key(Source, name), title=name).key
        citations.append({"source": known[name], "where": where})
    before = [{"source": c["source"], "where": c.get("where", "")} for c in coin_type.citations]
    if citations != before:
        coin_type.citations = citations
        CoinType.everything.filter(pk=coin_type.pk).update(citations=citations)
