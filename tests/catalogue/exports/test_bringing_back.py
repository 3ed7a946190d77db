"""An archive brought back: the records are equal, and what is hostile changes nothing."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import models, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from catalogue.exports.archive import export_of, records
from catalogue.exports.bringing_back import bring_back
from catalogue.exports.opening import ArchiveRefused
from catalogue.holdings.actions import derive
from catalogue.members.erase import erase_member
from catalogue.members.member_data import member_data
from catalogue.models import (
    Aim,
    Holding,
    HoldingProblem,
    HoldingReference,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    ListMapping,
    Member,
    Place,
    ProvenanceLine,
    SavedSearch,
    Showing,
    StatusChange,
    Stop,
    Talk,
    Want,
    WantList,
)
from series.picture.pictures import FULL, picture_name
from tests.catalogue.members.conftest import Collection
from valuation.models import PriceSource, Valuation

MakeMember = Callable[..., Member]


def archive_of(member: Member) -> io.BytesIO:
    return io.BytesIO(b"".join(export_of(member)))


_TOLD_OTHERWISE = {
    "photographs": ("file",),
    "receipts": ("file",),
    # how a list was read is told by numbers, which mean other records at home
    "imported_lists": ("file", "made", "done"),
    "imported_rows": ("candidates",),
    "imported_pieces": ("version", "before", "photos"),
}
"""Columns that are told otherwise once a row is back."""


def said_of(member: Member) -> dict[str, list[dict[str, Any]]]:
    """What the export says of each table that comes back, but ids and times of the record here."""
    own = {"id", "row_version", "created_at", "changed_at", "added_at", "made_at"}
    tables = {}
    for part in member_data():
        for kind in part.kinds:
            if kind.comes_back is None:
                continue
            rows = [
                {k: v for k, v in row.items() if k not in own and not k.endswith("_id")}
                for row in records(kind.table(member))
            ]
            told = _TOLD_OTHERWISE.get(kind.name, ())
            tables[kind.name] = [
                {k: v for k, v in row.items() if k not in ("owner", "entered_by", "aims", *told)}
                for row in rows
            ]
    return tables


# ---- everything of a member ----
def test_a_full_collection_comes_back_to_another_member_equal(
    full_collection: Collection, make_member: MakeMember
) -> None:
    heir = make_member("heir")
    Valuation.objects.filter(holding=None).delete()
    report = bring_back(archive_of(full_collection.owner), heir)
    before, after = said_of(full_collection.owner), said_of(heir)
    assert report.left_out == []
    assert after == before
    assert report.made["holdings"] == 2
    assert WantList.objects.get(owner=heir).aims.get().owner == heir
    assert Holding.objects.get(owner=heir).place.path == "Cabinet, Drawer"  # type: ignore[union-attr]


def test_it_comes_back_after_the_member_was_erased(
    full_collection: Collection, make_member: MakeMember
) -> None:
    archive = archive_of(full_collection.owner)
    erase_member(full_collection.owner)
    again = make_member("again")
    bring_back(archive, again)
    held = Holding.objects.get(owner=again)
    photo = held.photos.get()
    with Image.open(default_storage.open(picture_name(photo.digest, FULL))) as picture:
        assert picture.size == (photo.width, photo.height)
    assert default_storage.exists(held.receipts.get().file)


def test_the_same_archive_twice_makes_no_doubles(
    full_collection: Collection, make_member: MakeMember
) -> None:
    heir = make_member("heir")
    archive = archive_of(full_collection.owner)
    bring_back(archive, heir)
    before = said_of(heir)
    report = bring_back(archive, heir)
    assert said_of(heir) == before
    assert sum(report.made.values()) == 0
    assert sorted(report.here) == ["Z.001", "Z.002"]


def test_a_rehearsal_says_the_same_and_keeps_nothing(
    full_collection: Collection, make_member: MakeMember
) -> None:
    heir = make_member("heir")
    archive = archive_of(full_collection.owner)
    rehearsed = bring_back(archive, heir, rehearse=True)
    assert not Holding.everything.filter(owner=heir).exists()
    assert bring_back(archive, heir) == rehearsed


def test_a_page_for_others_comes_back_closed(member: Member, make_member: MakeMember) -> None:
    Showing.objects.create(owner=member, title="Open", open_to_all=True, indexed=True)
    heir = make_member("heir")
    bring_back(archive_of(member), heir)
    found = Showing.objects.get(owner=heir)
    assert (found.open_to_all, found.indexed) == (False, False)


def test_a_talk_comes_back_with_its_stops_and_once(
    member: Member, make_member: MakeMember, make_holding: Callable[..., Holding], coinage: Any
) -> None:
    talk = Talk.objects.create(owner=member, title="Quay", minutes=20, token_hash="f" * 64)
    piece = make_holding(accession="A.1", issue=coinage.issues[1])
    said = {"key": "coin.what", "text": "The quarter."}
    Stop.objects.create(
        talk=talk, kind="piece", holding=piece, notes="The quarter.", drafted=[said], position=1
    )
    Stop.objects.create(talk=talk, kind="country", issuer=coinage.issuer)
    Stop.objects.create(talk=talk, kind="text", heading="Thanks", light_side="reverse", position=2)
    heir = make_member("heir")
    archive = archive_of(member)
    for _ in range(2):
        bring_back(archive, heir)
    found = Talk.objects.get(owner=heir)
    assert (found.title, found.minutes, found.token_hash) == ("Quay", 20, "")
    country, coin, text = found.stops.all()
    assert country.issuer == coinage.issuer
    assert coin.holding == Holding.objects.get(owner=heir)
    assert (coin.notes, coin.drafted) == ("The quarter.", [said])
    assert (text.heading, text.light_side) == ("Thanks", "")


def test_a_value_from_a_source_of_the_club_finds_it_by_name(
    member: Member, make_member: MakeMember, make_holding: Callable[..., Holding]
) -> None:
    of_club = PriceSource.objects.create(name="A price list")
    Valuation.objects.create(
        holding=make_holding(), single="3", on=date(2024, 1, 1), source=of_club
    )
    heir = make_member("heir")
    bring_back(archive_of(member), heir)
    assert Valuation.objects.get(holding__owner=heir).source == of_club


def test_a_piece_of_a_type_that_is_not_here_comes_back_unidentified(
    member: Member, make_member: MakeMember, make_holding: Callable[..., Holding], coinage: Any
) -> None:
    make_holding(accession="A.1", issue=coinage.issues[1])
    archive = archive_of(member)
    Holding.everything.all().delete()
    coinage.type.delete()
    heir = make_member("heir")
    report = bring_back(archive, heir)
    held = Holding.objects.get(owner=heir)
    assert (held.coin_type, held.title) == (None, "testland-first-25 1947")
    assert report.left_out == [
        "A.1: its type testland-first-25 is not in this catalogue; it is unidentified now."
    ]


# ---- random collections, every field ----
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20).map(str.strip)


def value_of(column: models.Field[Any, Any]) -> st.SearchStrategy[Any]:
    """Any value that a form would keep in a column."""
    if column.choices:
        return st.sampled_from([value for value, _words in column.flatchoices])
    if isinstance(column, models.DecimalField):
        most = Decimal(10) ** (column.max_digits - column.decimal_places) - 1
        return st.decimals(0, most, places=column.decimal_places, allow_nan=False)
    if isinstance(column, models.DateField):
        return st.dates(date(1, 1, 1))
    if isinstance(column, models.BooleanField):
        return st.booleans()
    if isinstance(column, models.PositiveIntegerField):
        return st.integers(1, 2**31 - 1)
    longest = column.max_length
    words = WORDS.map(lambda text: text[:longest])
    return words if column.blank else words.filter(bool)


def values(model: type[models.Model], *but: str) -> st.SearchStrategy[dict[str, Any]]:
    """A value for each column that is nobody else's to fill; an optional one may be empty."""
    left = {*but, "row_version", "search_text", "own_text", "grade_rank", "path", "position"}
    made = {}
    for column in model._meta.concrete_fields:
        if column.is_relation or column.primary_key or column.name in left:
            continue
        if isinstance(column, models.DateTimeField):
            continue
        value = value_of(column)
        made[column.name] = st.none() | value if column.null else value
    return st.fixed_dictionaries(made)


GRADES = {"grade": st.sampled_from(["", "VF", "EF"]), "grade_obverse": st.sampled_from(["", "F"])}
HELD = st.tuples(
    values(Holding, "accession", "grade", "grade_obverse", "grade_reverse", "grade_scale"),
    st.fixed_dictionaries(GRADES),
    st.sampled_from([0, 1, 2, None]),
    st.lists(values(ProvenanceLine), max_size=2),
    st.lists(values(HoldingReference), max_size=2),
    st.lists(values(StatusChange), max_size=2),
    st.lists(values(HoldingProblem), max_size=2, unique_by=lambda row: row["kind"]),
)


def make(owner: Member, number: int, drawn: Any, coinage: Any, place: Place) -> None:
    fields, grades, issue, *rows = drawn
    held = Holding(
        owner=owner,
        accession=f"R.{number}",
        place=place,
        coin_type=coinage.type if issue is not None else None,
        issue=coinage.issues[issue] if issue is not None else None,
        **fields,
        **grades,
    )
    derive(held)
    held.save()
    parts = (ProvenanceLine, HoldingReference, StatusChange, HoldingProblem)
    for model, each in zip(parts, rows, strict=True):
        for row in each:
            model.objects.create(holding=held, **row)


def bring_list(owner: Member, name: str, rows: list[list[str]], coinage: Any) -> None:
    """A list that is in, of which the first row made a piece, with the columns it remembers."""
    text = json.dumps(rows).encode()
    mapping = {"headed": True, "skip": 0, "fields": ["title", "", "note"]}
    brought = ImportedList.objects.create(
        owner=owner,
        name=f"{name}.csv",
        file=default_storage.save("lists/any.csv", ContentFile(text)),
        digest=sha256(text).hexdigest(),
        headings=[name, "", name],
        mapping=mapping,
        counts={"made": len(rows)} if rows else {},
        state=ImportedList.State.DONE,
        taken_at=datetime(2024, 5, 1, 12, 30, 5, 7, tzinfo=UTC),
    )
    ListMapping.objects.create(owner=owner, name=name, mapping=mapping, headings=[name])
    for line, cells in enumerate(rows, 2):
        piece = {"fields": {}, "place": "", "title": name, "imported": name, "pictures": {}}
        row = ImportedRow.objects.create(
            of=brought,
            line=line,
            cells=cells,
            reading={"kind": "coin", "piece": piece},
            fingerprint=f"{line:064}",
            choice="type",
            coin_type=coinage.type,
            issue=coinage.issues[0],
            outcome="made",
            reason=name,
        )
        if line == 2:
            held = Holding.objects.filter(owner=owner).order_by("pk")[0]
            ImportedPiece.objects.create(row=row, holding=held, version=1)


@pytest.mark.django_db
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    drawn=st.lists(HELD, min_size=1, max_size=4),
    name=WORDS.filter(bool),
    cells=st.lists(st.lists(WORDS, max_size=4), max_size=3),
)
def test_random_collections_with_every_field_come_back_equal(
    coinage: Any, member: Member, other: Member, drawn: list[Any], name: str, cells: list[Any]
) -> None:
    with transaction.atomic():
        place = Place.objects.create(owner=member, name=name, path=name)
        for number, each in enumerate(drawn):
            make(member, number, each, coinage, place)
        Aim.objects.create(owner=member, name=name, coin_type=coinage.type)
        Want.objects.create(owner=member, text=name, issue=coinage.issues[0])
        SavedSearch.objects.create(owner=member, name=name, asked="metal=bronze")
        bring_list(member, name, cells, coinage)
        report = bring_back(archive_of(member), other)
        assert report.left_out == []
        assert said_of(other) == said_of(member)
        transaction.set_rollback(True)


# ---- hostile files ----
def altered(member: Member, name: str, change: Callable[[bytes], bytes]) -> io.BytesIO:
    """The member's archive with one of its files changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(archive_of(member)) as old, zipfile.ZipFile(out, "w") as new:
        for each in old.namelist():
            data = old.read(each)
            new.writestr(each, change(data) if each == name else data)
    return out


def photo_in(member: Member) -> str:
    """The name of the first photograph in the member's archive."""
    names = zipfile.ZipFile(archive_of(member)).namelist()
    return next(name for name in names if name.startswith("photographs/"))


def test_what_is_no_archive_is_refused_in_words(member: Member) -> None:
    for data in (b"", b"PK\x03\x04 and then nothing", b"\x89PNG"):
        with pytest.raises(ArchiveRefused, match="This is no archive"):
            bring_back(io.BytesIO(data), member)


def test_a_zip_file_of_something_else_is_refused_in_words(member: Member) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("../../etc/passwd", "x")
    with pytest.raises(ArchiveRefused, match="no json/holdings"):
        bring_back(out, member)


@pytest.mark.parametrize("line", ["[\n{", "[\n7\n]", '[\n{"id": "1"}\n]', "[\n" + "[" * 99_999])
def test_a_line_that_is_no_record_is_named_and_nothing_comes_back(
    member: Member, other: Member, make_holding: Callable[..., Holding], line: str
) -> None:
    make_holding()
    Place.objects.create(owner=member, name="Box", path="Box")
    file = altered(member, "json/holdings.json", lambda data: line.encode())
    with pytest.raises(ArchiveRefused, match=r"Line 2 of json/holdings.json cannot be read"):
        bring_back(file, other)
    assert not Place.everything.filter(owner=other).exists()


@pytest.mark.parametrize(
    ("column", "value", "said"),
    [
        ("quantity", -3, "quantity"),
        ("status", "eaten", "status"),
        ("mass_g", "heavy", "mass"),
        ("mass_g", "1e999", "mass"),
        ("accession", "x" * 61, "accession"),
        ("acquired_on", "2024-02-31", "acquired"),
        ("grade", "superb gem", "grade"),
        ("note", {"a": 1}, ""),
    ],
)
def test_a_row_that_a_form_would_refuse_is_left_out_and_named(
    member: Member,
    other: Member,
    make_holding: Callable[..., Holding],
    column: str,
    value: Any,
    said: str,
) -> None:
    good, bad = make_holding(), make_holding()

    def change(data: bytes) -> bytes:
        rows = json.loads(data)
        next(row for row in rows if row["id"] == bad.pk)[column] = value
        return b"[\n" + b",\n".join(json.dumps(row).encode() for row in rows) + b"\n]"

    report = bring_back(altered(member, "json/holdings.json", change), other)
    if column != "note":
        assert [h.accession for h in Holding.objects.filter(owner=other)] == [good.accession]
        assert len(report.left_out) == 1
        assert said in report.left_out[0].lower()


def test_ids_of_another_members_records_lead_to_nothing(
    member: Member, other: Member, make_member: MakeMember, make_holding: Callable[..., Holding]
) -> None:
    """An archive may name any number as the place of a piece: it is no place of somebody else."""
    stranger = Place.objects.create(owner=other, name="Safe", path="Safe")
    make_holding()

    def change(data: bytes) -> bytes:
        (row,) = json.loads(data)
        return json.dumps(row | {"place_id": stranger.pk, "owner_id": other.pk}).encode()

    heir = make_member("heir")
    bring_back(altered(member, "json/holdings.json", change), heir)
    held = Holding.objects.get(owner=heir)
    assert held.place is None
    assert not Holding.objects.filter(owner=other).exists()


def test_two_pieces_with_one_number_bring_nothing_back(
    member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    make_holding(accession="A.1")

    def change(data: bytes) -> bytes:
        (row,) = json.loads(data)
        twice = [row, row | {"id": row["id"] + 1}]
        return b"[\n" + b",\n".join(json.dumps(each).encode() for each in twice) + b"\n]"

    with pytest.raises(ArchiveRefused, match="Two records of holdings"):
        bring_back(altered(member, "json/holdings.json", change), other)
    assert not Holding.everything.filter(owner=other).exists()


def test_a_picture_that_is_none_is_left_out(
    full_collection: Collection, make_member: MakeMember
) -> None:
    name = next(
        n
        for n in zipfile.ZipFile(archive_of(full_collection.owner)).namelist()
        if n.startswith("photographs/")
    )
    file = altered(full_collection.owner, name, lambda data: b"<svg onload=alert(1)>")
    heir = make_member("heir")
    report = bring_back(file, heir)
    assert not Holding.objects.get(owner=heir).photos.exists()
    assert any(line.startswith("photographs") for line in report.left_out)


def test_a_picture_with_more_in_it_is_encoded_anew(
    full_collection: Collection, make_member: MakeMember
) -> None:
    """Metadata put into a picture of an archive is not kept (RFC 9649: the EXIF chunk)."""
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "secret words"
    Image.new("RGB", (40, 40)).save(out, "WEBP", exif=exif)
    name = next(
        n
        for n in zipfile.ZipFile(archive_of(full_collection.owner)).namelist()
        if n.startswith("photographs/")
    )
    heir = make_member("heir")
    bring_back(altered(full_collection.owner, name, lambda data: out.getvalue()), heir)
    digest = Holding.objects.get(owner=heir).photos.get().digest
    with default_storage.open(picture_name(digest, FULL)) as file:
        assert b"secret words" not in file.read()


# ---- the command ----
def test_the_command_says_what_came_back(
    full_collection: Collection, make_member: MakeMember, tmp_path: Path, capsys: Any
) -> None:
    path = tmp_path / "all.zip"
    path.write_bytes(archive_of(full_collection.owner).getvalue())
    make_member("heir")
    call_command("bring_back", "heir", str(path), "--rehearse")
    assert "Would come back: " in capsys.readouterr().out
    call_command("bring_back", "heir", str(path), "--json")
    assert json.loads(capsys.readouterr().out)["made"]["holdings"] == 2


def test_the_command_says_why_it_cannot(member: Member, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="No such file"):
        call_command("bring_back", "ana", str(tmp_path / "none.zip"))
    (tmp_path / "bad.zip").write_bytes(b"no")
    with pytest.raises(CommandError, match="This is no archive"):
        call_command("bring_back", "ana", str(tmp_path / "bad.zip"))
