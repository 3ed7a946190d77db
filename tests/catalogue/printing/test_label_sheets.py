"""Labels and tickets as a member gets them: form, PDF, own stock."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from catalogue.models import Holding, HoldingReference, LabelStock, Member, Place
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.queries import facts_of
from catalogue.printing.scripts import _has_font, unprintable

ASK = {
    "stock": "ready-0",
    "first": "1",
    "content": "full",
    "order": "accession",
    "shape": "round",
    "paper": "A4",
}
Make = Callable[..., Holding]


@pytest.fixture
def stock(member: Member) -> LabelStock:
    """Two columns and three rows of labels, 60 × 40 mm."""
    measures = {"width_mm": 60, "height_mm": 40, "left_mm": 20, "top_mm": 30}
    return LabelStock.objects.create(owner=member, name="Mine", columns=2, rows=3, **measures)


def test_it_works(as_member: Client, make_holding: Make, coinage: Any, read: Any) -> None:
    make_holding(issue=coinage.issues[1], grade="VF", accession="T.900")
    assert as_member.get("/sheets/labels/").status_code == 200
    answer = as_member.post("/sheets/labels/", ASK)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="labels-for-1-pieces.pdf"'
    text = read(answer).all
    for said in ("25 tinne, 1947", "Testland", "First", "copper-nickel", "5.4 g", "VF", "T.900"):
        assert said.replace(" ", "") in text.replace(" ", "").replace("\u00a0", "")


def test_there_are_as_many_labels_on_a_sheet_as_the_stock_has(
    as_member: Client, make_holding: Make, stock: LabelStock, read: Any
) -> None:
    for _n in range(8):
        make_holding()
    found = read(as_member.post("/sheets/labels/", {**ASK, "stock": f"own-{stock.pk}"}))
    assert [sum(w.text.startswith("T.") for w in page) for page in found.pages] == [6, 2]


def test_the_first_label_stands_where_the_first_free_one_is(
    as_member: Client, make_holding: Make, stock: LabelStock, read: Any
) -> None:
    make_holding(accession="ONE")
    asked = {**ASK, "stock": f"own-{stock.pk}", "first": "4"}
    ((x, y),) = read(as_member.post("/sheets/labels/", asked)).places("ONE")
    assert 80 <= x <= 140  # second column, second row
    assert 70 <= y <= 110


def test_a_first_label_beyond_the_sheet_is_refused_in_words(
    as_member: Client, make_holding: Make, stock: LabelStock
) -> None:
    make_holding()
    asked = {**ASK, "stock": f"own-{stock.pk}", "first": "7"}
    assert "This sheet has 6 labels" in as_member.post("/sheets/labels/", asked).content.decode()


def test_browsing_chooses_the_pieces_and_is_said_in_words(
    as_member: Client, make_holding: Make, read: Any
) -> None:
    make_holding(accession="KEPT", spare=True)
    make_holding(accession="LEFT")
    page = as_member.get("/sheets/labels/?spare=yes").content.decode()
    assert "1 holding of yours: Spare: yes" in page
    found = read(as_member.post("/sheets/labels/?spare=yes", ASK))
    assert found.places("KEPT")
    assert not found.places("LEFT")


def test_pieces_of_others_are_never_printed(
    as_member: Client, make_holding: Make, other: Member, read: Any
) -> None:
    make_holding(accession="MINE")
    theirs = make_holding(accession="THEIRS", owner=other, visibility="public")
    found = read(as_member.post("/sheets/labels/?owner=any", ASK))
    assert found.places("MINE")
    assert not found.places("THEIRS")
    alone = as_member.post(f"/sheets/labels/?owner={other.pk}&holding={theirs.pk}", ASK)
    assert b"nothing to print" in alone.content


def test_with_nothing_chosen_the_page_says_what_to_do(as_member: Client, coinage: Any) -> None:
    page = as_member.get("/sheets/labels/")
    assert b"nothing to print" in page.content
    assert as_member.post("/sheets/labels/", ASK)["Content-Type"].startswith("text/html")


def test_lines_of_ones_own_stand_on_the_label(
    as_member: Client, make_holding: Make, member: Member, read: Any
) -> None:
    place = Place.objects.create(owner=member, name="Drawer", path="Drawer")
    holding = make_holding(place=place, accession="T.7")
    HoldingReference.objects.create(holding=holding, work="Handbook", number="12")
    lines = {"line_place": "1", "line_reference": "2"}
    found = read(as_member.post("/sheets/labels/", {**ASK, "content": "own", **lines}))
    assert found.all == "Drawer Handbook 12"


def test_own_lines_without_a_number_are_refused(as_member: Client, make_holding: Make) -> None:
    make_holding()
    page = as_member.post("/sheets/labels/", {**ASK, "content": "own"})
    assert b"the number of a line" in page.content


def test_a_ticket_is_cut_to_the_holder_of_a_place(
    as_member: Client, make_holding: Make, member: Member, read: Any
) -> None:
    Place.objects.create(owner=member, name="Tray", path="Tray", holder="capsule", inner_mm="40.50")
    make_holding(accession="T.1")
    form = as_member.get("/sheets/labels/?form=tickets").content.decode()
    assert "capsule, 40.5 mm" in form
    asked = {**ASK, "stock": "tickets", "content": "ticket", "holder": "40.50"}
    found = read(as_member.post("/sheets/labels/", asked))
    assert found.places("T.1")
    assert "50 mm" in found.all


def test_a_ticket_without_a_size_or_too_large_is_refused_in_words(
    as_member: Client, make_holding: Make
) -> None:
    make_holding()
    asked = {**ASK, "stock": "tickets"}
    assert b"how wide the holder is inside" in as_member.post("/sheets/labels/", asked).content
    size = {"shape": "rectangle", "inner_mm": "100", "inner_height_mm": "280"}
    large = as_member.post("/sheets/labels/", {**asked, **size})
    assert "cannot be cut from A4" in large.content.decode()


def test_text_that_does_not_fit_is_said_on_the_form(
    as_member: Client, make_holding: Make, stock: LabelStock
) -> None:
    LabelStock.objects.update(width_mm=8, height_mm=6)
    make_holding(accession="LONG.1")
    page = as_member.post("/sheets/labels/", {**ASK, "stock": f"own-{stock.pk}"}).content.decode()
    assert "The text of label LONG.1 does not fit" in page


def test_what_must_be_shortened_is_said_before_it_is_printed(
    as_member: Client, make_holding: Make, member: Member, stock: LabelStock, read: Any
) -> None:
    LabelStock.objects.update(width_mm=24, height_mm=10)
    place = Place.objects.create(owner=member, name="Cabinet", path="Cabinet")
    make_holding(accession="LONG.1", place=place, grade="VF")
    asked = {**ASK, "stock": f"own-{stock.pk}"}
    page = as_member.post("/sheets/labels/", asked).content.decode()
    assert "at 6 points" in page
    assert "without country, series, metal, mass and diameter: LONG.1" in page
    found = read(as_member.post("/sheets/labels/", {**asked, "do": "anyway"}))
    assert found.all == "25 tinne VF LONG.1 · Cabinet"


def test_a_script_without_a_font_is_named_before_it_is_printed(
    as_member: Client, make_holding: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.printing.scripts._has_font", lambda char: False)
    make_holding(coin_type=None, title="coin ᚛ᚅᚓᚔᚂ", accession="T.1")
    page = as_member.post("/sheets/labels/", ASK).content.decode()
    assert "no font for a script on these labels: Ogham." in " ".join(page.split())
    monkeypatch.setattr("catalogue.printing.scripts._has_font", lambda char: True)
    assert as_member.post("/sheets/labels/", ASK)["Content-Type"] == "application/pdf"


def test_the_letters_of_the_sheets_own_fonts_need_no_other() -> None:
    assert unprintable(["Ærø Łódź ДЕСЯТЬ ΔΡΑΧΜΗ 25 ½ “…” · ×"]) == []


def test_without_fontconfig_a_script_counts_as_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    _has_font.cache_clear()
    assert unprintable(["ห้าบาท", "壹圓"]) == ["Chinese", "Thai"]
    _has_font.cache_clear()


def test_a_trial_sheet_of_the_chosen_stock(
    as_member: Client, make_holding: Make, read: Any
) -> None:
    make_holding(accession="T.1")
    found = read(as_member.post("/sheets/labels/", {**ASK, "do": "trial"}))
    assert "against the light" in found.all
    assert not found.places("T.1")


def test_a_stock_of_another_member_cannot_be_chosen(
    as_member: Client, make_holding: Make, stock: LabelStock, other: Member
) -> None:
    make_holding()
    LabelStock.objects.update(owner=other)
    page = as_member.post("/sheets/labels/", {**ASK, "stock": f"own-{stock.pk}"})
    assert page.context["form"].errors["stock"]


def test_without_pango_the_page_says_what_to_install(
    as_member: Client, make_holding: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> Any:
        raise PrintingUnavailable

    make_holding()
    monkeypatch.setattr("catalogue.printing.pdf._weasyprint", missing)
    answer = as_member.post("/sheets/labels/", ASK)
    assert answer.status_code == 503
    assert b"apt-get install" in answer.content


def test_text_of_a_member_stays_text_and_fetches_nothing(
    as_member: Client, make_holding: Make, read: Any, caplog: pytest.LogCaptureFixture
) -> None:
    make_holding(
        coin_type=None,
        title='<img src="file:///etc/passwd"><b style="background:url(http://a.example/)">x</b>',
        accession="<script>1</script>",
    )
    text = read(as_member.post("/sheets/labels/", ASK)).all
    assert "&lt;img" in text
    assert "file:///etc/passwd" in text.replace(" ", "")
    assert "root:" not in text
    assert "Left out of a printed sheet" not in caplog.text


# ---- own stock ----
STOCK = {
    "name": "Four",
    "paper": "A4",
    "shape": "rectangle",
    "columns": "4",
    "rows": "8",
    "width_mm": "50",
    "height_mm": "30",
    "left_mm": "5",
    "top_mm": "10",
    "gap_across_mm": "0",
    "gap_down_mm": "0",
}


def test_a_stock_is_described_changed_tried_and_put_into_the_bin(
    as_member: Client, member: Member, read: Any
) -> None:
    as_member.post("/sheets/stock/new/", STOCK)
    stock = LabelStock.objects.get(owner=member)
    address = f"/sheets/stock/{stock.pk}/"
    as_member.post(address, {**STOCK, "name": "Five", "row_version": stock.row_version})
    assert LabelStock.objects.get().name == "Five"
    assert b"Five" in as_member.get("/sheets/").content
    assert "50 mm" in read(as_member.get(address + "trial.pdf")).all
    as_member.post(address + "bin/")
    assert not LabelStock.objects.exists()


def test_measures_that_do_not_fit_are_refused_measure_by_measure(as_member: Client) -> None:
    answer = as_member.post("/sheets/stock/new/", {**STOCK, "width_mm": "60", "rows": "12"})
    page = answer.content.decode()
    assert "4 columns of 60 mm need 240 mm; A4 is 210 mm wide." in page
    assert "12 rows of 30 mm need 360 mm; A4 is 297 mm high." in page
    assert not LabelStock.objects.exists()


def test_a_stale_edit_of_a_stock_is_refused(as_member: Client, stock: LabelStock) -> None:
    stock.save()
    sent = {**STOCK, "row_version": stock.row_version - 1}
    assert (
        b"Someone changed this record" in as_member.post(f"/sheets/stock/{stock.pk}/", sent).content
    )
    assert LabelStock.objects.get().name == "Mine"


def test_a_date_that_was_read_is_printed_in_words(make_holding: Make) -> None:
    piece = make_holding(date_reading="[1966,1968]")
    assert facts_of(piece)["date"] == "1966 or 1968"
