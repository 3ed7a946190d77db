"""Lists that were brought in travel with their member: their rows, their text, and no doubles."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.storage import default_storage

from catalogue.exports.archive import export_of
from catalogue.exports.bringing_back import bring_back
from catalogue.importing.taking_back import Touched, take_back
from catalogue.models import (
    Holding,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    ListMapping,
    Member,
    Photo,
    Place,
)
from tests.catalogue.importing.brought import (
    bring_in,
    listed,
    outcomes,
    picture,
    row,
    taken_in,
    zipped,
)

HEADINGS = ("Country", "Value", "Year", "Grade", "Quantity", "Accession number", "Place", "Ticket")
LIST = listed(
    row(number="L.1", ticket="from the attic"),
    row(number="L.2"),
    row("1932", number="L.3"),
    headings=HEADINGS,
)


@pytest.fixture
def heir(make_member: Callable[..., Member], coinage: Any) -> Member:
    return make_member("heir")


def archive_of(member: Member, **changed: Callable[[dict[str, Any]], None]) -> io.BytesIO:
    """The member's archive, with the rows of some tables changed."""
    data, out = io.BytesIO(b"".join(export_of(member))), io.BytesIO()
    with zipfile.ZipFile(data) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            change = changed.get(name.removeprefix("json/").removesuffix(".json"))
            text = old.read(name)
            if change is not None and name.startswith("json/"):
                rows = json.loads(text)
                for each in rows:
                    change(each)
                text = "\n".join(map(json.dumps, rows)).encode()
            new.writestr(name, text)
    return out


def test_the_same_file_again_makes_no_doubles_after_the_archive_is_back(
    member: Member, heir: Member
) -> None:
    taken_in(member, LIST)
    report = bring_back(archive_of(member), heir)
    assert report.left_out == []
    again = bring_in(heir, LIST)
    assert outcomes(again)[:2] == ["same", "same"]
    assert {
        row.piece.holding.owner
        for row in ImportedRow.objects.filter(of__owner=heir, piece__isnull=False)
    } == {heir}


def test_every_row_keeps_its_text_and_what_it_became(member: Member, heir: Member) -> None:
    brought = taken_in(member, LIST)
    bring_back(archive_of(member), heir)
    back = ImportedList.objects.get(owner=heir)
    assert (back.state, back.taken_at, back.headings) == (
        ImportedList.State.DONE,
        brought.taken_at,
        brought.headings,
    )
    was, now = (ImportedRow.objects.filter(of=each).order_by("line") for each in (brought, back))
    assert [each.cells for each in now] == [each.cells for each in was]
    assert [each.outcome for each in now[:2]] == ["made", "made"]
    assert now[2].outcome == "left"
    assert "Bring the list again" in now[2].reason
    assert back.counts == {"made": 2, "left": 1}
    assert Holding.objects.get(owner=heir, accession="L.1").imported.endswith("from the attic")
    with default_storage.open(back.file) as file:
        assert file.read() == LIST


def test_one_that_was_not_taken_in_comes_back_with_its_columns_to_check(
    member: Member, heir: Member, client: Any
) -> None:
    bring_in(member, LIST, pictures=zipped(**{"L__1__jpg": picture()}))
    ListMapping.objects.create(owner=member, name="Mine", headings=["Coin"])
    bring_back(archive_of(member), heir)
    back = ImportedList.objects.get(owner=heir)
    assert back.state == ImportedList.State.COLUMNS
    assert default_storage.exists(back.pictures)
    assert ListMapping.objects.get(owner=heir).headings == ["Coin"]
    client.force_login(heir, backend="django.contrib.auth.backends.ModelBackend")
    assert b"25 tinne" in client.get(f"/imports/{back.pk}/columns/").content


def test_twice_makes_one_list_and_beside_the_list_itself_none(member: Member, heir: Member) -> None:
    taken_in(member, LIST)
    archive = archive_of(member)
    bring_back(archive, heir)
    assert bring_back(archive, heir).made.total() == 0
    assert bring_back(archive, member).made.total() == 0
    assert ImportedList.objects.count() == 2
    assert ImportedRow.objects.count() == 6


def test_a_piece_that_was_lost_is_known_to_its_row_again(member: Member, coinage: Any) -> None:
    taken_in(member, LIST)
    archive = archive_of(member)
    Holding.everything.get(accession="L.1").delete()
    bring_back(archive, member)
    assert ImportedPiece.objects.count() == 2
    assert outcomes(bring_in(member, LIST + b"\n"))[:2] == ["same", "same"]


def test_what_an_archive_says_of_others_records_leads_to_none(
    member: Member, heir: Member, other: Member
) -> None:
    """Numbers of places, photographs and owners: a list that came back touches none of them."""
    taken_in(member, LIST)
    place = Place.objects.create(owner=other, name="Safe", path="Safe")
    theirs = Holding.objects.create(owner=other, accession="O.1")
    photo = Photo.objects.create(holding=theirs, digest="a" * 64, width=1, height=1)
    file = archive_of(
        member,
        imported_lists=lambda row: row.update(made={"places": [place.pk], "types": [1]}),
        imported_pieces=lambda row: row.update(
            before={"owner_id": other.pk}, photos=[photo.pk], version=1, holding_id=theirs.pk
        ),
    )
    bring_back(file, heir)
    assert not ImportedPiece.objects.filter(holding=theirs).exists()
    back = ImportedList.objects.get(owner=heir)
    assert back.made == {}
    take_back(back)
    assert Place.objects.filter(pk=place.pk).exists()
    assert Photo.objects.filter(pk=photo.pk).exists()


def test_a_list_that_came_back_is_not_taken_back(member: Member, heir: Member) -> None:
    taken_in(member, LIST)
    bring_back(archive_of(member), heir)
    with pytest.raises(Touched, match="2 pieces of this list were used since"):
        take_back(ImportedList.objects.get(owner=heir))
    assert Holding.objects.filter(owner=heir).count() == 2


def test_a_list_whose_file_is_not_in_the_archive_is_named(member: Member, heir: Member) -> None:
    brought = taken_in(member, LIST)
    default_storage.delete(brought.file)
    report = bring_back(archive_of(member), heir)
    assert [line.partition(": ")[2] for line in report.left_out] == [
        "its file is not in the archive."
    ]
    assert report.made["imported_rows"] == 0
    assert report.made["holdings"] == 2
