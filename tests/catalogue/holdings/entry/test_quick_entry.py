"""Quick entry: doubts asked once, what is kept for the next piece, undo, forms sent twice."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from catalogue.holdings.finding.typeahead import type_label
from catalogue.models import Holding, Member, Place, Want
from series.models import CoinType, Issue

ADDRESS = "/holdings/quick/"


def line(coinage: Any, **fields: Any) -> dict[str, Any]:
    data = {
        "type_text": type_label(coinage.type),
        "coin_type": coinage.type.pk,
        "date_text": "1947",
        "grade": "VF",
        "grade_scale": "british",
        "quantity": "1",
    }
    return data | fields


def picture(name: str = "coin.png") -> SimpleUploadedFile:
    file = io.BytesIO()
    Image.new("RGB", (40, 40), "brown").save(file, "PNG")
    return SimpleUploadedFile(name, file.getvalue(), "image/png")


def sent_again(page: Any) -> dict[str, Any]:
    """What a browser sends when the button is pressed on a form that came back."""
    form = page.context["form"]
    return {name: form[name].value() or "" for name in form.fields if name != "problems"} | {
        "grade_scale": form["grade_scale"].value()
    }


# ---- dates that can hardly be right ----
@pytest.mark.parametrize(
    ("date", "words"),
    [
        ("1962", "1962 lies outside 1931–1953."),
        ("c. 1880", "lies outside 1931–1953."),
        ("before 1900", "lies outside 1931–1953."),
        ("1940", "1940 was not struck."),
    ],
)
def test_a_doubtful_date_is_asked_about_once_and_then_kept(
    as_member: Client, coinage: Any, date: str, words: str
) -> None:
    Issue.objects.create(
        coin_type=coinage.type, key="1940", shown="1940", struck_from=1940, fact="not_struck"
    )
    page = as_member.post(ADDRESS, line(coinage, date_text=date))
    assert Holding.objects.count() == 0
    assert words in " ".join(page.context["form"].errors["date_text"])
    assert as_member.post(ADDRESS, sent_again(page)).status_code == 302
    made = Holding.objects.get()
    assert made.coin_type == coinage.type
    assert made.issue is None
    assert made.date_reading


def test_another_doubtful_date_is_asked_about_again(as_member: Client, coinage: Any) -> None:
    page = as_member.post(ADDRESS, line(coinage, date_text="1962"))
    again = sent_again(page) | {"date_text": "1963"}
    assert as_member.post(ADDRESS, again).status_code == 200
    assert Holding.objects.count() == 0


@pytest.mark.parametrize("date", ["194?", "1940", "1930 or 1931", "c. 1953", "19??"])
def test_a_date_that_may_lie_within_is_not_asked_about(
    as_member: Client, coinage: Any, date: str
) -> None:
    assert as_member.post(ADDRESS, line(coinage, date_text=date)).status_code == 302


def test_a_type_without_years_asks_nothing(as_member: Client, coinage: Any) -> None:
    CoinType.objects.filter(pk=coinage.type.pk).update(first_year=None, last_year=None)
    coinage.type.issues.all().delete()
    assert as_member.post(ADDRESS, line(coinage, date_text="1800")).status_code == 302


def test_a_date_chosen_and_another_written_are_not_guessed(as_member: Client, coinage: Any) -> None:
    sent = line(coinage, date_text="1931", picked_issue=coinage.issues[2].pk)
    page = as_member.post(ADDRESS, sent)
    assert "You wrote 1931 and chose 1953" in page.text
    as_member.post(ADDRESS, sent | {"date_text": ""})
    assert Holding.objects.get().issue == coinage.issues[2]


# ---- what the page shows of the coin ----
def test_the_chosen_coin_shows_what_is_held_and_wanted(
    as_member: Client, member: Member, coinage: Any, make_holding: Any
) -> None:
    make_holding(issue=coinage.issues[0], quantity=3)
    Want.objects.create(owner=member, coin_type=coinage.type, issue=coinage.issues[2])
    page = as_member.get(f"{ADDRESS}coin/", {"coin_type": coinage.type.pk})
    assert "<html" not in page.text
    assert "You hold 3 pieces, 1 of 3 dates." in page.text
    assert "Wanted: 1953" in page.text
    assert "copper-nickel, 5.4" in page.text
    assert page.text.count('class="held"') == 1
    assert page.text.count('type="radio"') == 3


def test_what_another_holds_and_wants_is_not_shown(
    as_member: Client, other: Member, coinage: Any, make_holding: Any
) -> None:
    make_holding(owner=other, issue=coinage.issues[0])
    Want.objects.create(owner=other, coin_type=coinage.type, issue=coinage.issues[2])
    page = as_member.get(f"{ADDRESS}coin/", {"coin_type": coinage.type.pk})
    assert "You hold none yet." in page.text
    assert "Wanted" not in page.text


@pytest.mark.parametrize("odd", ["", "0", "9" * 30, "²", "x"])
def test_an_odd_coin_in_the_address_shows_none(as_member: Client, coinage: Any, odd: str) -> None:
    for part in ("coin", "date"):
        page = as_member.get(f"{ADDRESS}{part}/", {"coin_type": odd, "picked_issue": odd})
        assert page.status_code == 200


def test_without_the_script_the_coin_is_shown_before_anything_is_saved(
    as_member: Client, coinage: Any
) -> None:
    sent = line(coinage, date_text="", look="1", problems=["holed"])
    page = as_member.post(ADDRESS, sent)
    assert page.context["form"]["problems"].value() == ["holed"]
    assert 'class="kept"' not in page.text
    assert Holding.objects.count() == 0
    assert page.context["chosen"].type == coinage.type
    assert page.context["form"]["grade"].value() == "VF"
    assert page.text.count('name="picked_issue"') == 3


# ---- kept from piece to piece ----
def test_price_source_problems_and_place_are_kept_and_marked(
    as_member: Client, member: Member, coinage: Any
) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    kept = {
        "place": place.pk, "price": "2.50", "price_currency": "EUR", "acquired_from": "Ole Tarn",
        "acquired_on": "2020-05-01", "problems": ["cleaned", "holed"], "spare": "on",
    }  # fmt: skip
    page = as_member.post(ADDRESS, line(coinage, **kept), follow=True)
    made = Holding.objects.get()
    assert (str(made.price), made.price_currency) == ("2.50", "EUR")
    assert (made.acquired_from, str(made.acquired_on)) == ("Ole Tarn", "2020-05-01")
    assert {problem.kind for problem in made.problems.all()} == {"cleaned", "holed"}
    form = page.context["form"]
    offered = {name: form[name].value() for name in kept}
    assert {**offered, "spare": bool(offered["spare"])} == {**kept, "spare": True}
    assert form.folds == {"price", "problems", "spare"}
    assert page.text.count('class="kept"') == 6  # place, price, source, day, problems, spare
    assert form["date_text"].value() in (None, "")
    assert form["grade"].value() in (None, "")
    assert form["type_text"].value() == type_label(coinage.type)


def test_a_price_without_its_currency_is_asked_for_it(as_member: Client, coinage: Any) -> None:
    page = as_member.post(ADDRESS, line(coinage, price="3", price_currency=""))
    assert "price_currency" in page.context["form"].errors
    assert "price" in page.context["form"].folds
    assert Holding.objects.count() == 0


def test_photographs_are_added_and_their_fold_stays_open(as_member: Client, coinage: Any) -> None:
    sent = line(coinage, obverse=picture(), reverse=picture(), fold="photographs")
    page = as_member.post(ADDRESS, sent, follow=True)
    made = Holding.objects.get()
    assert sorted(photo.side for photo in made.photos.all()) == ["obverse", "reverse"]
    assert page.context["form"].folds == {"photographs"}
    assert not page.context["form"]["obverse"].value()


def test_a_picture_lost_with_a_wrong_form_is_asked_for_again(
    as_member: Client, coinage: Any
) -> None:
    page = as_member.post(ADDRESS, line(coinage, grade="shiny", obverse=picture()))
    assert "Choose this picture again" in page.text
    assert "photographs" in page.context["form"].folds


def test_what_is_no_picture_saves_nothing(as_member: Client, coinage: Any) -> None:
    broken = SimpleUploadedFile("coin.png", b"not a picture", "image/png")
    assert as_member.post(ADDRESS, line(coinage, obverse=broken)).status_code == 200
    assert Holding.objects.count() == 0


# ---- what was entered last ----
def test_the_last_twelve_pieces_stand_below_the_newest_first(
    as_member: Client, coinage: Any
) -> None:
    for _piece in range(14):
        page = as_member.post(ADDRESS, line(coinage), follow=True)
    entered = list(Holding.objects.order_by("-pk"))
    assert [each.holding for each in page.context["lines"]] == entered[:12]
    assert as_member.session["quick-entries"] == [holding.pk for holding in entered[:12]]


# ---- taken back ----
def test_undo_puts_the_piece_in_the_bin_and_offers_the_way_back(
    as_member: Client, coinage: Any
) -> None:
    as_member.post(ADDRESS, line(coinage))
    made = Holding.objects.get()
    back = {"back": ADDRESS}
    page = as_member.post(f"/holdings/{made.pk}/bin/", back, follow=True)
    assert Holding.objects.count() == 0
    assert f"/bin/holding/{made.pk}/" in page.text
    page = as_member.post(f"/bin/holding/{made.pk}/", back, follow=True)
    assert page.redirect_chain[-1][0] == ADDRESS
    assert Holding.objects.get() == made
    assert f"/holdings/{made.pk}/bin/" in page.text


def test_the_way_back_leads_nowhere_else(as_member: Client, coinage: Any) -> None:
    as_member.post(ADDRESS, line(coinage))
    made = Holding.objects.get()
    made.bin()
    page = as_member.post(f"/bin/holding/{made.pk}/", {"back": "https://elsewhere.example/"})
    assert page["Location"] == "/bin/"


# ---- sent twice ----
def test_a_form_sent_twice_makes_one_piece(as_member: Client, coinage: Any) -> None:
    number = as_member.get(ADDRESS).context["form"]["number"].value()
    sent = line(coinage, number=number, price="2.5", price_currency="EUR")
    as_member.post(ADDRESS, sent)
    page = as_member.post(ADDRESS, sent, follow=True)
    assert Holding.objects.get().accession == number
    assert "was entered already" in page.text


def test_another_piece_from_an_old_form_is_entered(as_member: Client, coinage: Any) -> None:
    number = as_member.get(ADDRESS).context["form"]["number"].value()
    as_member.post(ADDRESS, line(coinage, number=number))
    as_member.post(ADDRESS, line(coinage, number=number, date_text="1953"))
    assert Holding.objects.count() == 2


def test_one_more_like_it_from_a_new_form_is_entered(as_member: Client, coinage: Any) -> None:
    for _piece in range(2):
        number = as_member.get(ADDRESS).context["form"]["number"].value()
        as_member.post(ADDRESS, line(coinage, number=number))
    assert Holding.objects.count() == 2


def test_what_was_taken_back_can_be_entered_again(as_member: Client, coinage: Any) -> None:
    number = as_member.get(ADDRESS).context["form"]["number"].value()
    as_member.post(ADDRESS, line(coinage, number=number))
    Holding.objects.get().bin()
    as_member.post(ADDRESS, line(coinage, number=number))
    assert Holding.objects.count() == 1
