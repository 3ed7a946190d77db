"""Schedules: made once, frozen, their owner's alone, printed with what they come to."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from importlib import import_module
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from catalogue.holdings.actions import derive
from catalogue.members.member_data import member_data
from catalogue.models import Holding, Member, Photo, Place
from catalogue.site.stored_files import delete_unnamed, named_by
from series.picture.pictures import keep_image, picture_name
from tests.poppler import pdftotext
from valuation.models import Schedule, ScheduleLine, ScheduleNumbers, SchedulePhoto
from valuation.schedules.drawing import draw_schedule, laid_out
from valuation.schedules.making import NothingToList, Terms, is_unchanged, make_schedule

Make = Callable[..., Any]
NEW = reverse("schedule-new")
BACKEND = "django.contrib.auth.backends.ModelBackend"
DAY = date(2026, 3, 1)


@pytest.fixture
def make(member: Member) -> Make:
    def made(holdings: Any = None, **terms: Any) -> Schedule:
        wanted = {
            "insured": "Ana Vestergaard",
            "insurer": "Northern Mutual",
            "policy": "NM-7",
            "as_of": DAY,
            "currency": "EUR",
            "threshold": Decimal("50"),
            "bulk_rate": Decimal("0.10"),
            **terms,
        }
        mine = Holding.objects.filter(owner=member) if holdings is None else holdings
        return make_schedule(member, Terms(**wanted), mine)

    return made


@pytest.fixture
def box(make_holding: Make, make_value: Make) -> list[Holding]:
    """Two dear pieces in one lot, ten small ones with a value, four without."""
    dear, small, unknown = make_holding(quantity=2), make_holding(quantity=10), make_holding()
    unknown.quantity = 4
    unknown.save()
    make_value("80.00", holding=dear)
    make_value("0.15", holding=small)
    return [dear, small, unknown]


def test_it_lists_dear_pieces_and_groups_small_ones(box: list[Holding], make: Make) -> None:
    schedule = make()
    item, group = schedule.lines.all()
    assert (item.holding, item.pieces, item.amount) == (box[0], 2, Decimal("160.00"))
    assert (group.grouped, group.pieces, group.amount) == (True, 14, Decimal("1.90"))
    assert (group.facts["known"], group.facts["at_rate"]) == ("1.50", "0.40")
    assert (schedule.total, schedule.pieces) == (Decimal("161.90"), 16)


def test_each_owner_counts_numbers_of_their_own(
    box: list[Holding], make: Make, make_holding: Make, other: Member
) -> None:
    year = timezone.localdate().year
    assert [make().number, make().number] == [f"S-{year}-01", f"S-{year}-02"]
    make_holding(owner=other)
    terms = Terms("Bo", "", "", DAY, "EUR", Decimal(1), Decimal(0))
    theirs = make_schedule(other, terms, Holding.objects.filter(owner=other))
    assert theirs.number == f"S-{year}-01"


def test_a_number_is_not_given_again_when_its_schedule_is_deleted(
    box: list[Holding], make: Make, as_member: Client
) -> None:
    year = timezone.localdate().year
    make()
    as_member.post(reverse("schedule-delete", args=[make().pk]))
    assert make().number == f"S-{year}-03"
    Schedule.objects.all().delete()
    assert make().number == f"S-{year}-04"


def test_schedules_made_before_numbers_were_kept_are_counted_on(
    box: list[Holding], make: Make, other: Member
) -> None:
    year = timezone.localdate().year
    schedule = make()
    for owner, number in ((schedule.owner, f"S-{year}-107"), (other, "S-2019-04")):
        schedule.pk, schedule.owner, schedule.number = None, owner, number
        schedule.save(force_insert=True)
    ScheduleNumbers.objects.all().delete()
    import_module("valuation.migrations.0002_numbers_given").count_given(apps, None)
    said = set(ScheduleNumbers.objects.values_list("owner__username", "year", "highest"))
    assert said == {("ana", year, 107), ("bo", 2019, 4)}
    assert make().number == f"S-{year}-108"


def test_it_never_lists_what_belongs_to_another(
    box: list[Holding], make: Make, make_holding: Make, other: Member
) -> None:
    make_holding(owner=other, quantity=99)
    assert make(Holding.objects.all()).pieces == 16


def test_values_and_rates_are_those_of_the_day(
    make_holding: Make, make_value: Make, make: Make
) -> None:
    """100 EUR at 1.3759 USD, the European Central Bank's rate of 28 March 2014."""
    holding = make_holding()
    make_value("100.00", holding=holding, on=date(2014, 1, 1))
    make_value("900.00", holding=holding, on=date(2015, 1, 1))
    schedule = make(as_of=date(2014, 3, 29), currency="USD")
    line = schedule.lines.get()
    assert line.amount == Decimal("137.59")
    assert line.facts["value"]["amount"] == "100.00"
    assert "1.3759" in line.facts["rate"]
    assert "1.3759" in schedule.rates_note


def test_a_value_without_a_rate_counts_as_none_and_is_noted(
    make_holding: Make, make_value: Make, make: Make
) -> None:
    make_value("100.00", holding=make_holding(), currency="XTS")
    schedule = make()
    assert schedule.lines.get().facts["unvalued"] == 1
    assert "There is no rate for XTS" in schedule.rates_note


def test_nothing_to_list_is_said(make: Make) -> None:
    with pytest.raises(NothingToList):
        make()
    assert not Schedule.objects.exists()


def test_a_schedule_stays_as_it_was_whatever_becomes_of_its_holdings(
    box: list[Holding], make: Make, coinage: Any
) -> None:
    schedule = make()
    before = list(schedule.lines.values("position", "pieces", "amount", "facts"))
    dear, small, unknown = box
    dear.grade, dear.quantity, dear.accession = "VG", 7, "changed"
    derive(dear)
    dear.save()
    dear.valuations.update(single=Decimal("1.00"))
    dear.bin()
    small.delete()
    coinage.type.name = "renamed"
    coinage.type.save()
    unknown.status = "sold"
    unknown.save()
    schedule.refresh_from_db()
    assert list(schedule.lines.values("position", "pieces", "amount", "facts")) == before
    assert schedule.total == Decimal("161.90")
    assert is_unchanged(schedule)


def test_a_binned_holding_keeps_its_line_and_even_a_purged_one(
    box: list[Holding], make: Make
) -> None:
    schedule = make()
    box[0].bin()
    assert schedule.lines.get(grouped=False).holding_id == box[0].pk
    Holding.everything.filter(pk=box[0].pk).delete()
    line = schedule.lines.get(grouped=False)
    assert (line.holding, line.amount) == (None, Decimal("160.00"))
    assert draw_schedule(schedule).startswith(b"%PDF")


@pytest.mark.parametrize("change", ["total", "insured", "amount", "facts"])
def test_a_tampered_schedule_is_noticed(
    box: list[Holding], make: Make, as_member: Client, change: str
) -> None:
    schedule = make()
    assert b"no longer agrees" not in as_member.get(schedule.get_absolute_url()).content
    if change in {"total", "insured"}:
        Schedule.objects.update(**{change: Decimal("1.00") if change == "total" else "Bo"})
    else:
        first = ScheduleLine.objects.filter(grouped=False)
        first.update(
            **{change: Decimal("999.00")}
            if change == "amount"
            else {"facts": {**first.get().facts, "grade": "FDC"}}
        )
    assert b"no longer agrees" in as_member.get(schedule.get_absolute_url()).content


def test_the_number_of_queries_does_not_grow(
    make_holding: Make, make_value: Make, make: Make, django_assert_max_num_queries: Any
) -> None:
    def count() -> int:
        with django_assert_max_num_queries(60) as found:
            make()
        return len(found)

    for _ in range(3):
        make_value("80.00", holding=make_holding())
    make()  # the first of a year also begins to count numbers
    few = count()
    for _ in range(27):
        make_value("80.00", holding=make_holding())
    assert count() == few


# ---- pages ----
FORM = {
    "insured": "Ana Vestergaard",
    "as_of": DAY.isoformat(),
    "currency": "EUR",
    "which": "all",
    "threshold": "50",
    "bulk_rate": "0.10",
}


def test_a_schedule_is_made_shown_and_listed(as_member: Client, box: list[Holding]) -> None:
    assert as_member.get(NEW).status_code == 200
    answer = as_member.post(NEW, FORM)
    schedule = Schedule.objects.get()
    assert answer.url == schedule.get_absolute_url()
    page = as_member.get(answer.url).content.decode()
    assert "161.90" in page
    assert schedule.digest in page
    assert schedule.number in as_member.get(reverse("schedules")).content.decode()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"insured": ""}, "insured"),
        ({"as_of": "2999-01-01"}, "as_of"),
        ({"threshold": "-1"}, "threshold"),
        ({"bulk_rate": "a"}, "bulk_rate"),
        ({"which": "country:999999"}, "which"),
        ({"as_of": "1999-01-01"}, "which"),
        ({"currency": "DEM"}, "currency"),
    ],
)
def test_terms_that_make_no_sense_are_refused(
    as_member: Client, make_holding: Make, wrong: dict[str, str], field: str
) -> None:
    make_holding(acquired_on=date(2020, 1, 1))
    answer = as_member.post(NEW, {**FORM, **wrong})
    assert field in answer.context["form"].errors
    assert not Schedule.objects.exists()


def test_it_can_be_of_a_country_a_series_or_a_place_with_what_stands_in_it(
    as_member: Client, coinage: Any, make_holding: Make, member: Member
) -> None:
    album = Place.objects.create(owner=member, name="Album")
    page = Place.objects.create(owner=member, name="Page 1", within=album)
    make_holding(place=page, quantity=2)
    make_holding(place=album, quantity=3)
    make_holding(coin_type=None, title="disc", quantity=7)
    for which, pieces in (
        (f"place:{album.pk}", 5),
        (f"place:{page.pk}", 2),
        (f"country:{coinage.issuer.pk}", 5),
        (f"series:{coinage.series.pk}", 5),
        ("all", 12),
    ):
        as_member.post(NEW, {**FORM, "which": which})
        assert Schedule.objects.latest("pk").pieces == pieces


def test_a_place_of_another_cannot_be_chosen(
    as_member: Client, make_holding: Make, other: Member
) -> None:
    make_holding()
    theirs = Place.objects.create(owner=other, name="Safe")
    answer = as_member.post(NEW, {**FORM, "which": f"place:{theirs.pk}"})
    assert "which" in answer.context["form"].errors


@pytest.mark.parametrize("name", ["schedule", "schedule-file", "schedule-csv", "schedule-delete"])
@pytest.mark.parametrize("role", ["member", "curator", "administrator"])
def test_a_schedule_is_there_for_its_owner_alone(
    box: list[Holding], make: Make, make_member: Make, name: str, role: str
) -> None:
    schedule = make()
    client = Client()
    client.force_login(make_member("zed", role=role), backend=BACKEND)
    address = reverse(name, args=[schedule.pk])
    assert client.get(address).status_code == 404
    assert client.post(address).status_code in {404, 405}
    assert Schedule.objects.exists()
    assert Client().get(address).status_code == 302


def test_deleting_asks_first(box: list[Holding], make: Make, as_member: Client) -> None:
    address = reverse("schedule-delete", args=[make().pk])
    assert b"gone for good" in as_member.get(address).content
    assert Schedule.objects.exists()
    as_member.post(address)
    assert not Schedule.objects.exists()


def test_the_table_adds_up_and_holds_no_formula(
    as_member: Client, box: list[Holding], make: Make
) -> None:
    box[0].accession = "=1+1"
    box[0].save()
    answer = as_member.get(reverse("schedule-csv", args=[make().pk]))
    heading, *rows, last = csv.reader(answer.content.decode().splitlines())
    at = heading.index("Amount")
    assert sum(Decimal(row[at]) for row in rows) == Decimal(last[at]) == Decimal("161.90")
    assert rows[0][heading.index("Inventory number")] == "'=1+1"
    assert answer["Cache-Control"] == "private, no-store"


def test_it_belongs_to_what_a_member_takes_along_and_goes_when_erased(
    box: list[Holding], make: Make, member: Member
) -> None:
    schedule = make()
    tables = {table.name: table for part in member_data() for table in part.tables(member)}
    assert list(tables["schedules"].rows) == [schedule]
    assert tables["schedule_lines"].rows.count() == 2
    assert tables["values"].rows.count() == 2


# ---- on paper ----
def _text(pdf: bytes) -> list[str]:
    """The text of each page, as it stands on it."""
    pages = pdftotext(pdf).replace("\xa0", " ").split("\f")
    return [page for page in pages if page.strip()]


def _last_amount(page: str, words: str) -> Decimal:
    found = re.search(rf"{words}\s.*?([\d,]+\.\d\d)\s*$", page, re.M)
    assert found, words
    return Decimal(found[1].replace(",", ""))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_paper_says_everything_and_adds_up_by_hand(
    make_holding: Make, make_value: Make, make: Make, member: Member, paper: str
) -> None:
    member.paper = paper
    member.save()
    for n in range(25):
        make_value(f"{60 + n}.{n:02}", holding=make_holding(quantity=1 + n % 3))
    make_holding(quantity=40)
    schedule = make()
    pdf = draw_schedule(schedule)
    pages = _text(pdf)
    tables = [page for page in pages if re.search(r"^\s*No\.\s+Piece", page, re.M)]
    assert len(tables) > 2
    so_far = Decimal(0)
    for number, page in enumerate(tables):
        if number:
            assert _last_amount(page, "brought forward") == so_far
        amounts = re.findall(
            r"^\s*\d+\s.*\s\d+\s+(?:[\d,]+\.\d\d\s+)?([\d,]+\.\d\d)\s*$", page, re.M
        )
        so_far += sum(Decimal(amount.replace(",", "")) for amount in amounts)
        if page is not tables[-1]:
            assert _last_amount(page, "carried forward") == so_far
    assert so_far == _last_amount(tables[-1], "Total") == schedule.total
    whole = "\n".join(pages)
    for words in (
        schedule.number,
        "Ana Vestergaard",
        "Northern Mutual",
        "1 March 2026",
        "estimates, or appraisals",
        "The words of the policy decide",
        "Place and date",
        "Object ID",
        f"page {len(pages)} of {len(pages)}",
        schedule.digest,
    ):
        assert words in whole, words


def test_the_document_names_itself_and_its_language(
    box: list[Holding], make: Make, tmp_path: Path
) -> None:
    path = tmp_path / "s.pdf"
    schedule = make()
    path.write_bytes(draw_schedule(schedule))
    with pikepdf.open(path) as pdf:
        assert str(pdf.docinfo["/Title"]) == f"Schedule {schedule.number}"
        assert str(pdf.Root.Lang).startswith("en")
        assert len(pdf.open_outline().root) >= 1


def test_words_of_a_member_stay_words_on_paper(
    make_holding: Make, make_value: Make, make: Make
) -> None:
    title = '<img src="file:///etc/hostname"> & <b>bold</b>'
    make_value("80.00", holding=make_holding(coin_type=None, title=title))
    pages = _text(draw_schedule(make(insured="<u>Ana</u>")))
    assert "<u>Ana</u>" in pages[0]
    assert "<b>bold</b>" in " ".join(" ".join(pages).split())


def test_a_long_name_moves_the_table_and_loses_nothing(
    make_holding: Make, make_value: Make, make: Make
) -> None:
    long = " ".join(f"Vestergaard{n}" for n in range(14))
    for n in range(9):
        make_value("80.00", holding=make_holding(coin_type=None, title=f"{n} {long} "))
    schedule = make(insured=long, insurer=long)
    pages = _text(draw_schedule(schedule))
    tables = [page for page in pages if re.search(r"^\s*No\.\s+Piece", page, re.M)]
    printed = [page for page in pages if page in tables or "carried forward" in page]
    assert printed == tables
    assert sum(page.count("carried forward") for page in tables) == len(tables) - 1


def test_without_the_library_the_page_says_what_to_install(
    as_member: Client, box: list[Holding], make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    from catalogue.printing.pdf import PrintingUnavailable

    def missing(schedule: Schedule) -> bytes:
        raise PrintingUnavailable

    monkeypatch.setattr("valuation.schedules.drawing.draw_schedule", missing)
    answer = as_member.get(reverse("schedule-file", args=[make().pk]))
    assert answer.status_code == 503
    assert b"Pango" in answer.content


def test_a_long_schedule_is_asked_for_by_a_button_and_drawn_once(
    as_member: Client, box: list[Holding], make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    from catalogue.models import Sheet
    from catalogue.printing.tasks import draw_sheet

    monkeypatch.setattr("valuation.schedules.drawing.LINES_AT_ONCE", 0)
    schedule = make()
    address = reverse("schedule-file", args=[schedule.pk])
    assert as_member.get(address)["Content-Type"].startswith("text/html")
    assert not Sheet.objects.exists()
    asked = as_member.post(address)
    sheet = Sheet.objects.get()
    assert asked["Location"] == reverse("sheet", args=[sheet.pk])
    draw_sheet.call(sheet.pk)
    assert as_member.get(address)["Location"] == reverse("sheet", args=[sheet.pk])
    drawn = as_member.get(reverse("sheet-file", args=[sheet.pk]))
    assert b"".join(drawn.streaming_content).startswith(b"%PDF")  # type: ignore[attr-defined]


# ---- photographs ----
@pytest.fixture
def pictured(make_holding: Make, make_value: Make) -> Photo:
    holding = make_holding()
    make_value("80.00", holding=holding)
    kept = keep_image(Image.new("RGB", (60, 60), "brown"))
    return Photo.objects.create(
        holding=holding, side="obverse", digest=kept.digest, width=60, height=60
    )


def test_a_photograph_is_kept_while_a_schedule_shows_it(
    pictured: Photo, make: Make, as_member: Client
) -> None:
    schedule = make()
    named = named_by([pictured])
    Photo.everything.all().delete()
    assert delete_unnamed(named) == 0
    assert len(laid_out(schedule)[1]) == 1
    assert default_storage.exists(picture_name(pictured.digest, "print"))
    as_member.post(reverse("schedule-delete", args=[schedule.pk]))
    for size in ("full", "print"):
        assert not default_storage.exists(picture_name(pictured.digest, size))


def test_deleting_a_schedule_leaves_the_photograph_of_a_piece(
    pictured: Photo, make: Make, as_member: Client
) -> None:
    as_member.post(reverse("schedule-delete", args=[make().pk]))
    assert default_storage.exists(picture_name(pictured.digest, "full"))
    assert not SchedulePhoto.objects.exists()
