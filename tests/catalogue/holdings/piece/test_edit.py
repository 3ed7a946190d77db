"""The full form of a holding, another like it, splitting, status, the bin."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.holdings.finding.typeahead import type_label
from catalogue.models import Aim, Holding, Member, Place, Reservation
from series.models import CoinType, Issue, Variety

BACKEND = "django.contrib.auth.backends.ModelBackend"


def signed_in(member: Member) -> Client:
    client = Client()
    client.force_login(member, backend=BACKEND)
    return client


def form_data(coin_type: CoinType | None = None, **fields: Any) -> dict[str, Any]:
    data = {
        "type_text": type_label(coin_type) if coin_type else "",
        "coin_type": coin_type.pk if coin_type else "",
        "shown_type": coin_type.pk if coin_type else "",
        "accession": "2024.001",
        "quantity": "1",
        "grade_scale": "british",
        "visibility": "club",
    }
    return data | fields


def test_it_works(as_member: Client, coinage: Any) -> None:
    page = as_member.get(
        "/holdings/new/", {"type": coinage.type.key, "issue": coinage.issues[1].pk}
    )
    assert page.status_code == 200
    assert f'<option value="{coinage.issues[1].pk}" selected>1947</option>' in page.text


def test_everything_that_is_entered_is_kept(
    as_member: Client, member: Member, coinage: Any
) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    sent = form_data(
        coinage.type,
        issue=coinage.issues[1].pk,
        grade="gvf",
        grade_obverse="vf",
        graded_by="A friend",
        graded_on="2024-02-01",
        date_reading="19?7",
        problems=["holed", "bent"],
        mass_g="5.36",
        mass_within="0.005",
        alignment="12",
        acquired_on="2023-12-01",
        acquired_from="Ole Tarn",
        price="12.50",
        price_currency="nok",
        place=place.pk,
        spare="on",
        note="from the tin",
        provenance_text="1971; bought from Ole Tarn\nfound in a drawer",
        references_text="Notes; 7",
    )
    assert as_member.post("/holdings/new/", sent).status_code == 302
    made = Holding.objects.get()
    assert (made.grade, made.grade_obverse, made.grade_rank) == ("GVF", "VF", 35)
    assert made.date_reading == "19X7"
    assert (made.price, made.price_currency, made.place) == (Decimal("12.50"), "NOK", place)
    assert sorted(made.problems.values_list("kind", flat=True)) == ["bent", "holed"]
    assert list(made.provenance.values_list("when", "text")) == [
        ("1971", "bought from Ole Tarn"),
        ("", "found in a drawer"),
    ]
    assert [str(reference) for reference in made.references.all()] == ["Notes 7"]
    assert "1947" in made.search_text
    assert made.spare


def test_a_type_is_found_without_the_script(as_member: Client, coinage: Any) -> None:
    """The first answer shows the dates of what was found and saves nothing."""
    coinage.type.search_text = "25 tinne first testland"
    coinage.type.save()
    sent = form_data(type_text="testl 25", note="keep this")
    page = as_member.post("/holdings/new/", sent)
    assert Holding.objects.count() == 0
    assert "The type is set" in page.text
    assert "keep this" in page.text
    form = page.context["form"]
    again = sent | {name: form[name].value() for name in ("type_text", "coin_type", "shown_type")}
    as_member.post("/holdings/new/", again | {"issue": coinage.issues[0].pk})
    assert Holding.objects.get().issue == coinage.issues[0]


def test_several_types_are_offered_to_choose_from(as_member: Client, coinage: Any) -> None:
    texts = {"a": "25 tinne", "b": "25 tinne net"}
    types = [
        CoinType.objects.create(
            key=key, name=key, series=coinage.series, denomination=coinage.denomination,
            search_text=text,
        )
        for key, text in texts.items()
    ]  # fmt: skip
    sent = form_data(type_text="25 tinne")
    page = as_member.post("/holdings/new/", sent)
    assert "Several coins answer" in page.text
    assert page.text.count('name="picked_type"') == 3  # one is found by its value alone
    as_member.post("/holdings/new/", sent | {"picked_type": types[1].pk})
    assert Holding.objects.get().coin_type == types[1]


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("date_reading", "nineteen", "nineteen"),
        ("grade", "shiny", "no grade of the british scale"),
        ("quantity", "0", "at least 1"),
        ("alignment", "13", "up to 12"),
        ("mass_g", "-1", "more than nothing"),
        ("price", "5", "in which currency"),
        ("price_currency", "E1", "three letters"),
        ("provenance_text", "x" * 301, "Line 1"),
    ],
)
def test_bad_input_is_said_in_words_and_loses_nothing(
    as_member: Client, coinage: Any, name: str, value: str, words: str
) -> None:
    page = as_member.post(
        "/holdings/new/", form_data(coinage.type, **{"note": "my own words", name: value})
    )
    assert Holding.objects.count() == 0
    assert words in " ".join(e for es in page.context["form"].errors.values() for e in es)
    assert "my own words" in page.text


def test_a_number_is_used_once(as_member: Client, make_holding: Any, coinage: Any) -> None:
    make_holding(accession="2024.001")
    page = as_member.post("/holdings/new/", form_data(coinage.type))
    assert "You already have a 2024.001" in page.text
    assert Holding.objects.count() == 1


def test_an_issue_belongs_to_its_type(as_member: Client, coinage: Any) -> None:
    stranger = CoinType.objects.create(
        key="else", series=coinage.series, denomination=coinage.denomination
    )
    issue = Issue.objects.create(coin_type=stranger, key="1900", shown="1900")
    page = as_member.post("/holdings/new/", form_data(coinage.type, issue=issue.pk))
    assert "issue" in page.context["form"].errors
    assert Holding.objects.count() == 0


def test_a_variety_brings_its_date(as_member: Client, coinage: Any) -> None:
    variety = Variety.objects.create(issue=coinage.issues[2], key="wide", name="wide date")
    as_member.post("/holdings/new/", form_data(coinage.type, variety=variety.pk))
    assert Holding.objects.get().issue == coinage.issues[2]
    page = as_member.post(
        "/holdings/new/",
        form_data(
            coinage.type, variety=variety.pk, issue=coinage.issues[0].pk, accession="2024.002"
        ),
    )
    assert "another date" in page.text


def test_an_unidentified_piece_needs_a_title(as_member: Client, coinage: Any) -> None:
    for text in ("", "zebra"):
        page = as_member.post("/holdings/new/", form_data(type_text=text))
        assert "a working title further down" in page.text
    as_member.post("/holdings/new/", form_data(title="Small brass, ship"))
    assert Holding.objects.get().label == "Small brass, ship"


def test_a_place_of_another_is_no_choice(as_member: Client, other: Member, coinage: Any) -> None:
    place = Place.objects.create(owner=other, name="Secret", path="Secret")
    page = as_member.post("/holdings/new/", form_data(coinage.type, place=place.pk))
    assert "place" in page.context["form"].errors
    assert "Secret" not in page.text


def test_a_stale_edit_shows_both(as_member: Client, make_holding: Any, coinage: Any) -> None:
    holding = make_holding(note="first")
    seen = holding.row_version
    holding.note = "stored meanwhile"
    holding.save()
    sent = form_data(coinage.type, accession=holding.accession, note="mine", row_version=seen)
    page = as_member.post(f"/holdings/{holding.pk}/edit/", sent)
    assert "stored meanwhile" in page.text
    assert "mine" in page.text
    holding.refresh_from_db()
    assert holding.note == "stored meanwhile"
    again = sent | {"row_version": page.context["form"]["row_version"].value()}
    assert as_member.post(f"/holdings/{holding.pk}/edit/", again).status_code == 302
    holding.refresh_from_db()
    assert holding.note == "mine"


def test_an_edit_leaves_the_status_alone(
    as_member: Client, make_holding: Any, coinage: Any
) -> None:
    holding = make_holding(status="on_loan")
    sent = form_data(coinage.type, accession="T.001", row_version=1, status="sold")
    as_member.post(f"/holdings/{holding.pk}/edit/", sent)
    holding.refresh_from_db()
    assert (holding.status, holding.row_version) == ("on_loan", 2)


@pytest.mark.parametrize("part", ["edit", "split", "status", "copy", "bin"])
def test_others_change_nothing(
    make_holding: Any, other: Member, administrator: Member, part: str
) -> None:
    shown, hidden = make_holding(quantity=3), make_holding(visibility="private")
    for member in (other, administrator):
        client = signed_in(member)
        assert client.post(f"/holdings/{shown.pk}/{part}/").status_code == 403
        assert client.post(f"/holdings/{hidden.pk}/{part}/").status_code == 404
    assert Holding.objects.count() == 2


def test_another_like_it_has_its_own_number(as_member: Client, make_holding: Any) -> None:
    holding = make_holding(quantity=5, grade="VF", price="9.00", price_currency="EUR")
    answer = as_member.post(f"/holdings/{holding.pk}/copy/")
    made = Holding.objects.exclude(pk=holding.pk).get()
    assert answer["Location"] == f"/holdings/{made.pk}/edit/"
    assert (made.quantity, made.grade, made.price) == (1, "VF", None)
    assert made.accession != holding.accession


def test_a_lot_is_split(as_member: Client, make_holding: Callable[..., Holding]) -> None:
    holding = make_holding(quantity=5, price="10.00", price_currency="EUR")
    assert as_member.get(f"/holdings/{holding.pk}/split/").status_code == 200
    as_member.post(f"/holdings/{holding.pk}/split/", {"pieces": "2"})
    holding.refresh_from_db()
    made = Holding.objects.exclude(pk=holding.pk).get()
    assert (holding.quantity, holding.price) == (3, Decimal("6.00"))
    assert (made.quantity, made.price) == (2, Decimal("4.00"))


def test_a_split_must_leave_something(as_member: Client, make_holding: Any) -> None:
    holding = make_holding(quantity=2)
    page = as_member.post(f"/holdings/{holding.pk}/split/", {"pieces": "2"})
    assert "from 1 to 1" in page.text
    assert Holding.objects.count() == 1


def test_a_sale_is_noted_with_its_day(as_member: Client, make_holding: Any) -> None:
    holding = make_holding(spare=True)
    assert as_member.get(f"/holdings/{holding.pk}/status/").status_code == 200
    sent = {"status": "sold", "on": "2024-03-01", "with_whom": "Bo", "amount": "7.5"}
    page = as_member.post(f"/holdings/{holding.pk}/status/", sent | {"currency": ""})
    assert "in which currency" in page.text
    as_member.post(f"/holdings/{holding.pk}/status/", sent | {"currency": "eur"})
    holding.refresh_from_db()
    change = holding.status_changes.get()
    assert (holding.status, holding.spare) == ("sold", False)
    assert (change.on, change.amount, change.currency) == (
        datetime.date(2024, 3, 1),
        Decimal("7.50"),
        "EUR",
    )


def test_a_status_of_tomorrow_is_refused(as_member: Client, make_holding: Any) -> None:
    holding = make_holding()
    day = timezone.localdate() + datetime.timedelta(days=1)
    page = as_member.post(
        f"/holdings/{holding.pk}/status/", {"status": "lost", "on": day.isoformat()}
    )
    assert "not come yet" in page.text
    holding.refresh_from_db()
    assert holding.status == "held"


def test_into_the_bin_and_back(as_member: Client, make_holding: Any, member: Member) -> None:
    holding = make_holding()
    answer = as_member.post(f"/holdings/{holding.pk}/bin/", follow=True)
    assert 'href="/bin/"' in answer.text
    assert not Holding.objects.exists()
    assert holding.accession in as_member.get("/bin/").text
    as_member.post(f"/bin/holding/{holding.pk}/")
    assert Holding.objects.get() == holding


def test_a_binned_place_is_let_go_by_what_comes_back(
    as_member: Client, make_holding: Any, member: Member
) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    holding = make_holding(place=place)
    holding.bin()
    place.bin()
    as_member.post(f"/bin/holding/{holding.pk}/")
    assert Holding.objects.get().place is None


def test_the_bin_of_another_stays_shut(as_member: Client, make_holding: Any, other: Member) -> None:
    theirs = make_holding(owner=other, accession="O.1")
    theirs.bin()
    aim = Aim.objects.create(owner=other, name="Their aim")
    aim.bin()
    assert "O.1" not in as_member.get("/bin/").text
    assert as_member.post(f"/bin/holding/{theirs.pk}/").status_code == 404
    assert as_member.post(f"/bin/aim/{aim.pk}/").status_code == 404
    assert as_member.post("/bin/member/1/").status_code == 404


def test_after_90_days_nothing_comes_back(as_member: Client, make_holding: Any) -> None:
    holding = make_holding()
    long_ago = timezone.now() - datetime.timedelta(days=91)
    Holding.objects.filter(pk=holding.pk).update(deleted_at=long_ago)
    assert as_member.post(f"/bin/holding/{holding.pk}/").status_code == 404


def test_back_leads_to_no_other_site(as_member: Client, make_holding: Any) -> None:
    holding = make_holding()
    answer = as_member.post(f"/holdings/{holding.pk}/bin/", {"back": "https://example.org/"})
    assert answer["Location"] == "/holdings/"


@pytest.fixture
def promised(make_holding: Any, other: Member, coinage: Any) -> Holding:
    holding: Holding = make_holding(spare=True)
    Reservation.objects.create(holding=holding, wanted_by=other, coin_type=coinage.type)
    return holding


def test_a_promised_piece_stays_spare_and_out_of_the_bin(
    as_member: Client, promised: Holding, coinage: Any
) -> None:
    sent = form_data(coinage.type, accession=promised.accession, row_version=1)
    page = as_member.post(f"/holdings/{promised.pk}/edit/", sent)
    assert "promised to Bo" in page.text
    page = as_member.post(f"/holdings/{promised.pk}/bin/", follow=True)
    assert "promised to Bo" in page.text
    chosen = {"holding": promised.pk, "do": "do", "deed": "bin", "expected": "1"}
    assert "promised to another" in as_member.post("/holdings/bulk/", chosen).text
    assert Holding.objects.get().spare


def test_the_promise_of_a_piece_given_away_ends(as_member: Client, promised: Holding) -> None:
    as_member.post(f"/holdings/{promised.pk}/status/", {"status": "on_loan", "on": "2024-03-01"})
    assert Reservation.objects.exists()
    as_member.post(f"/holdings/{promised.pk}/status/", {"status": "given", "on": "2024-03-02"})
    assert not Reservation.objects.exists()
