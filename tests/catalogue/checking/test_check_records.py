"""What is not as it should be in the records or the storage is found, and said in a sentence."""

from __future__ import annotations

import dataclasses
import io
import json
from collections.abc import Callable
from hashlib import sha256
from typing import Any

import pytest
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import connection, models
from PIL import Image

from catalogue.checking import agreement, derived, files, links, words
from catalogue.checking.derived import derived_columns, made_anew
from catalogue.holdings.actions import settle_place
from catalogue.models import Aim, Change, ChangeCounter, Holding, Member, Photo, Place, Receipt
from catalogue.site import stored_files
from series.models import CoinType, Denomination, Issue, Variety
from series.picture.pictures import FULL, keep_image, picture_name
from series.types.derived import FIELDS
from series.types.editing import settle
from tests.conftest import Coinage

Make = Callable[..., Holding]


@pytest.fixture
def held(make_holding: Make, member: Member) -> Holding:
    """A piece with all that is derived, a photograph and a paper."""
    cabinet = Place(owner=member, name="Cabinet")
    settle_place(cabinet)
    drawer = Place(owner=member, name="drawer", within=cabinet)
    settle_place(drawer)
    held = make_holding(place=drawer, grade="VF", title="a gull", acquired_from="Harbour fair")
    kept = keep_image(Image.new("RGB", (30, 30), "red"))
    Photo.objects.create(holding=held, digest=kept.digest, width=30, height=30)
    name = f"receipts/{sha256(b'%PDF-1.7').hexdigest()}"
    default_storage.save(name, ContentFile(b"%PDF-1.7"))
    Receipt.objects.create(
        holding=held, name="bill.pdf", file=name, content_type="application/pdf", size=8
    )
    made_anew()
    held.refresh_from_db()
    return held


def _said(*options: str) -> tuple[int, str]:
    out = io.StringIO()
    try:
        call_command("check_records", *options, stdout=out)
    except SystemExit as ended:
        return int(str(ended.code)), out.getvalue()
    return 0, out.getvalue()


def test_nothing_is_wrong_with_what_is_whole(held: Holding) -> None:
    assert _said() == (0, "All records and files are there and as they should be.\n")
    assert _said("--json") == (0, '{"ok": true, "wrong": []}\n')


# ---- derived columns ----
# Columns that no form takes, and are not worked out either: what an address asks for, what a pack
# loaded, what was drafted and measured, the bin and versions of every record.
NOT_DERIVED = {
    "SavedSearch.asked", "Showing.query", "Showing.follows", "Member.joined_at",
    "Stop.drafted", "Stop.rehearsed_seconds", "Talk.pace",
    "loaded", "deleted_at", "row_version",
}  # fmt: skip


def test_every_column_that_is_worked_out_is_checked() -> None:
    """A column that cannot be edited is derived, unless it is named above as something else."""
    known = {(each.model, name) for each in derived_columns() for name in each.columns}
    known |= {(CoinType, name) for name in FIELDS}
    for model in apps.get_models():
        if model._meta.app_label not in ("series", "catalogue", "valuation"):
            continue
        for field in model._meta.concrete_fields:
            names = {field.name, f"{model.__name__}.{field.name}"}
            if field.editable or field.primary_key or names & NOT_DERIVED:
                continue
            assert (model, field.name) in known or _is_a_moment(field), f"{model.__name__}.{field}"


def _is_a_moment(field: models.Field[Any, Any]) -> bool:
    return bool(getattr(field, "auto_now", False) or getattr(field, "auto_now_add", False))


@pytest.mark.parametrize(
    ("model", "column", "value"),
    [
        (Holding, "search_text", "another"),
        (Holding, "own_text", "another"),
        (Holding, "grade_rank", 3),
        (Place, "path", "elsewhere"),
        (CoinType, "metal", "tin"),
        (CoinType, "search_text", "another"),
        (Denomination, "sort_value", 17.0),
    ],
)
def test_a_column_that_differs_is_found_and_mended(
    held: Holding, model: Any, column: str, value: Any
) -> None:
    row = model._base_manager.order_by("pk").last()
    model._base_manager.filter(pk=row.pk).update(**{column: value})
    code, said = _said()
    assert code == 1
    assert words.differs(model.__name__, column, [row.pk]) in said
    version = getattr(row, "row_version", None)
    code, said = _said("--mend")
    assert code == 0
    assert "had a column that was not what it should be" in said
    assert getattr(model._base_manager.get(pk=row.pk), "row_version", None) == version


def test_ranks_of_aims_and_values_are_compared(held: Holding, member: Member) -> None:
    aim = Aim.objects.create(owner=member, name="All", lowest_grade="VF")
    assert list(derived.differences()) == [words.differs("Aim", "lowest_rank", [aim.pk])]


def test_a_date_that_a_curator_corrects_is_found_with_the_pieces(held: Holding) -> None:
    """What is worked out stays what the records say when the reference is edited."""
    issue = held.coin_type.issues.first()  # type: ignore[union-attr]
    Holding.objects.update(issue=issue)
    made_anew()
    Issue.objects.filter(pk=issue.pk).update(shown="1931 or so")
    settle([held.coin_type_id])
    held.refresh_from_db()
    assert "or so" in held.search_text
    assert list(derived.differences()) == []


# ---- files ----
def _photo() -> Photo:
    return Photo.objects.get()


@pytest.mark.parametrize("size", ["small", "medium", "large", FULL])
def test_a_picture_that_is_not_there_is_named(held: Holding, size: str) -> None:
    name = picture_name(_photo().digest, size)
    default_storage.delete(name)
    assert _said() == (1, words.file_missing("Photo", _photo().pk, name) + "\n")


def test_a_picture_that_was_altered_is_named(held: Holding) -> None:
    name = picture_name(_photo().digest, FULL)
    other = keep_image(Image.new("RGB", (31, 30), "red")).digest
    with default_storage.open(picture_name(other, FULL), "rb") as file:
        data = file.read()
    default_storage.delete(name)
    default_storage.save(name, ContentFile(data))
    assert _said() == (1, words.file_altered("Photo", _photo().pk, name) + "\n")


@pytest.mark.parametrize("data", [b"", b"RIFF", b"no picture at all"])
def test_a_smaller_size_that_is_no_picture_is_named(held: Holding, data: bytes) -> None:
    name = picture_name(_photo().digest, "small")
    default_storage.delete(name)
    default_storage.save(name, ContentFile(data))
    assert _said() == (1, words.file_altered("Photo", _photo().pk, name) + "\n")


def test_a_picture_that_ends_too_early_is_named(held: Holding) -> None:
    name = picture_name(_photo().digest, "large")
    with default_storage.open(name, "rb") as file:
        data = file.read()
    default_storage.delete(name)
    default_storage.save(name, ContentFile(data[:-9]))
    assert _said() == (1, words.file_altered("Photo", _photo().pk, name) + "\n")


def test_a_paper_that_was_altered_is_named(held: Holding) -> None:
    paper = Receipt.objects.get()
    default_storage.delete(paper.file)
    default_storage.save(paper.file, ContentFile(b"%PDF-1.8"))
    assert _said() == (1, words.file_altered("Receipt", paper.pk, paper.file) + "\n")


def test_a_file_of_no_record_is_named(held: Holding, monkeypatch: pytest.MonkeyPatch) -> None:
    default_storage.save("receipts/left", ContentFile(b"x"))
    assert list(files.wrong_files()) == []  # of a form that is just being sent
    monkeypatch.setattr(stored_files, "YOUNGEST", -stored_files.YOUNGEST)
    assert list(files.wrong_files()) == [words.file_of_nobody("receipts/left")]


# ---- links, rules, limits ----
@pytest.mark.django_db(transaction=True)
def test_a_link_that_leads_nowhere_is_named(held: Holding) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA foreign_keys = OFF")
        else:
            cursor.execute("SET session_replication_role = replica")
        cursor.execute("UPDATE catalogue_photo SET holding_id = 999999")
        try:
            said = words.names_no_row("Photo", _photo().pk, "holding", "Holding 999999")
            assert list(links.wrong_links()) == [said]
        finally:
            cursor.execute("DELETE FROM catalogue_photo")
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA foreign_keys = ON")
            else:
                cursor.execute("SET session_replication_role = origin")


def test_a_value_that_is_no_choice_is_named(held: Holding) -> None:
    Holding.objects.update(status="lost?")
    assert list(links.broken_rules()) == [words.no_choice("Holding", held.pk, "status", "lost?")]


def test_what_postgresql_would_not_take_is_named(held: Holding) -> None:
    """SQLite keeps no length of a text and no range of a number."""
    if connection.vendor == "postgresql":
        with pytest.raises(Exception, match=r"too long|out of range"):
            Holding.objects.update(accession="x" * 61)
        return
    Holding.objects.update(accession="x" * 61)
    CoinType.objects.update(alignment=70_000)
    assert list(links.broken_rules()) == [
        words.out_of_range("CoinType", CoinType.objects.get().pk, "alignment", 0, 32767),
        words.too_long("Holding", held.pk, "accession", 60),
    ]


def test_a_rule_of_a_model_that_is_broken_is_named(
    held: Holding, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The databases keep these themselves, so the rule is made stricter for once."""
    rule = models.CheckConstraint(condition=models.Q(quantity__gte=2), name="two_at_least")
    monkeypatch.setattr(Holding._meta, "constraints", [rule])
    assert list(links.broken_rules()) == [words.breaks_rule("Holding", held.pk, "two_at_least")]
    once = models.UniqueConstraint(fields=["status"], name="status_once")
    monkeypatch.setattr(Holding._meta, "constraints", [once])
    assert list(links.broken_rules()) == []
    Holding.objects.create(owner=held.owner, accession="2", status=held.status)
    assert list(links.broken_rules()) == [words.twice("Holding", "status", "held")]


# ---- records that speak of each other ----
def test_records_that_do_not_agree_are_named(
    held: Holding, other: Member, coinage: Coinage
) -> None:
    second = CoinType.objects.create(
        key="second", series=coinage.series, denomination=coinage.denomination
    )
    foreign = Issue.objects.create(coin_type=second, key="1950")
    variety = Variety.objects.create(issue=coinage.issues[0], key="a", name="a")
    Holding.objects.update(issue=foreign, variety=variety, owner=other)
    assert list(agreement.disagreements()) == [
        words.issue_of_another_type(held.pk),
        words.variety_of_another_issue(held.pk),
        words.place_of_another("Holding", held.pk),
    ]


def test_a_place_that_stands_in_itself_is_named(held: Holding) -> None:
    outer = Place.objects.get(within=None)
    Place.objects.filter(pk=outer.pk).update(within=held.place)
    said = list(agreement.disagreements())
    assert said == [words.place_in_itself(pk) for pk in (outer.pk, held.place_id)]


def test_a_counter_that_is_not_at_the_last_change_is_named(held: Holding) -> None:
    assert Change.objects.exists()
    ChangeCounter.objects.update(n=10**6)
    assert list(agreement.disagreements()) == [words.counted_wrongly()]


def test_what_an_upper_floor_says_of_a_holding_is_told(
    held: Holding, monkeypatch: pytest.MonkeyPatch
) -> None:
    (worth,) = agreement.holding_extensions()
    strict = dataclasses.replace(worth, check=lambda holding: [f"{holding} has no worth."])
    monkeypatch.setattr(agreement, "holding_extensions", lambda: (strict,))
    assert list(agreement.disagreements()) == [f"Holding {held.pk}: {held} has no worth."]


def test_as_json_all_is_listed(held: Holding) -> None:
    Holding.objects.update(grade_rank=1)
    code, said = _said("--json")
    assert (code, json.loads(said)) == (
        1,
        {"ok": False, "wrong": [words.differs("Holding", "grade_rank", [held.pk])]},
    )
