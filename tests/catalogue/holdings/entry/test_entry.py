"""Quick entry, finding types by a few words, and ticking dates."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.dates.read import read_issue
from catalogue.holdings.finding.typeahead import find_types, type_label
from catalogue.models import Holding, Member, Place, Proposal
from series.models import CoinType, Denomination, Issue
from series.types.derived import derive_types
from tests.markup import markup


@pytest.fixture
def findable(coinage: Any) -> Any:
    """The coinage with its search texts, and a second 1953 with the mark C."""
    Issue.objects.create(
        coin_type=coinage.type, key="1953-c", shown="1953", mark_text="C", struck_from=1953,
        position=9,
    )  # fmt: skip
    derive_types()
    coinage.type.refresh_from_db()
    return coinage


def line(coinage: Any, **fields: Any) -> dict[str, Any]:
    data = {
        "type_text": type_label(coinage.type),
        "coin_type": coinage.type.pk,
        "date_text": "1947",
        "grade": "vf",
        "grade_scale": "british",
        "quantity": "1",
    }
    return data | fields


def test_it_works(as_member: Client) -> None:
    page = as_member.get("/holdings/quick/")
    assert page.status_code == 200
    assert "autofocus" in page.text


@pytest.mark.parametrize("text", ["25 tin", "TESTL first", "testland 1947"])
def test_a_type_is_found_by_the_beginnings_of_its_words(
    findable: Any, member: Member, text: str
) -> None:
    assert find_types(member, text) == [findable.type]


@pytest.mark.parametrize("text", ["25 zebra 1960", "inne", "", "...", "25 zebra"])
def test_what_fits_nothing_finds_nothing(findable: Any, member: Member, text: str) -> None:
    assert find_types(member, text) == []


def test_the_coin_of_that_value_comes_before_what_only_names_it(
    findable: Any, member: Member
) -> None:
    marl = Denomination.objects.create(
        key="marl", currency=findable.currency, name="1 marl", value_numerator=1
    )
    other = CoinType.objects.create(
        key="other", series=findable.series, denomination=marl, last_year=1999,
        search_text="1 marl testland for the 25 years",
    )  # fmt: skip
    assert find_types(member, "25") == [findable.type, other]


def test_proposed_and_joined_types_are_not_offered(findable: Any, member: Member) -> None:
    for standing in ("proposed", "joined"):
        CoinType.objects.filter(pk=findable.type.pk).update(standing=standing)
        assert find_types(member, "25 tinne") == []


def test_ones_own_proposal_can_be_entered(findable: Any, member: Member, other: Member) -> None:
    CoinType.objects.filter(pk=findable.type.pk).update(standing="proposed")
    Proposal.objects.create(coin_type=findable.type, proposed_by=member)
    assert find_types(member, "25 tinne") == [findable.type]
    assert find_types(other, "25 tinne") == []


def test_finding_takes_the_same_queries_for_many(
    findable: Any, member: Member, django_assert_max_num_queries: Any
) -> None:
    for n in range(30):
        CoinType.objects.create(
            key=f"more-{n}", series=findable.series, denomination=findable.denomination,
            search_text="25 tinne testland",
        )  # fmt: skip
    find_types(member, "25")  # reads the texts of all types
    with django_assert_max_num_queries(3):
        assert len([type_label(each) for each in find_types(member, "25")]) == 12


def test_the_options_are_sent_as_html(as_member: Client, findable: Any) -> None:
    page = as_member.get("/holdings/quick/types/", {"q": "25 tinne"})
    assert f'data-id="{findable.type.pk}"' in page.text
    assert "<html" not in page.text
    assert "No coin answers" in as_member.get("/holdings/quick/types/", {"q": "zzz"}).text


def test_the_dates_of_a_type_are_sent_as_options(as_member: Client, findable: Any) -> None:
    page = as_member.get(f"/holdings/quick/types/{findable.type.pk}/dates/")
    assert f'<option value="{findable.issues[1].pk}">1947</option>' in page.text


def test_a_line_becomes_a_piece(as_member: Client, member: Member, findable: Any) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    sent = line(findable, quantity="3", spare="on", place=place.pk)
    page = as_member.post("/holdings/quick/", sent, follow=True)
    made = Holding.objects.get()
    assert (made.issue, made.grade, made.quantity) == (findable.issues[1], "VF", 3)
    assert (made.spare, made.place) == (True, place)
    assert made.accession in page.text
    assert f"/holdings/{made.pk}/bin/" in page.text
    assert page.context["form"]["place"].value() == place.pk


def test_a_few_words_are_enough_without_the_script(as_member: Client, findable: Any) -> None:
    as_member.post("/holdings/quick/", line(findable, coin_type="", type_text="25 testl"))
    assert Holding.objects.get().coin_type == findable.type


def test_a_date_struck_in_several_ways_is_asked_for(as_member: Client, findable: Any) -> None:
    Issue.objects.filter(pk=findable.issues[2].pk).update(mark_text="S")
    page = as_member.post("/holdings/quick/", line(findable, date_text="1953"))
    assert Holding.objects.count() == 0
    offered = [issue.label for issue, _mints in page.context["choices"]]
    assert offered == ["1953 S", "1953 C"]
    chosen = findable.issues[2].pk
    as_member.post("/holdings/quick/", line(findable, date_text="1953", picked_issue=chosen))
    assert Holding.objects.get().issue_id == chosen


def test_a_date_not_in_the_list_is_kept_as_read(as_member: Client, findable: Any) -> None:
    page = as_member.post("/holdings/quick/", line(findable, date_text="194?"), follow=True)
    made = Holding.objects.get()
    assert (made.issue, made.date_reading) == (None, "194X")
    assert "kept as read" in page.text


@pytest.mark.parametrize(
    ("written", "label"),
    [("1953 c", "1953 C"), ("1953", "1953"), (" 1931 ", "1931")],
)
def test_a_date_is_read_as_its_label_says(findable: Any, written: str, label: str) -> None:
    issue = read_issue(findable.type, written).issue
    assert issue is not None
    assert issue.label == label


def test_the_only_date_of_a_type_needs_no_typing(coinage: Any) -> None:
    Issue.objects.filter(pk__in=[issue.pk for issue in coinage.issues[1:]]).delete()
    assert read_issue(coinage.type, "").issue == coinage.issues[0]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("grade", "shiny", "no grade of the british scale"),
        ("date_text", "someday", "someday"),
        ("quantity", "0", "greater than or equal to 1"),
        ("type_text", "zebra", "No coin in the catalogue"),
        ("type_text", "", "few words"),
    ],
)
def test_bad_input_loses_nothing(
    as_member: Client, findable: Any, field: str, value: str, words: str
) -> None:
    page = as_member.post("/holdings/quick/", line(findable, **{field: value}))
    assert Holding.objects.count() == 0
    assert words in " ".join(e for es in page.context["form"].errors.values() for e in es)
    kept = "grade" if field != "grade" else "date_text"
    assert page.context["form"][kept].value() in {"vf", "1947"}


def test_what_nobody_knows_is_entered_under_a_title(as_member: Client, findable: Any) -> None:
    sent = line(findable, coin_type="", type_text="small brass, ship", date_text="c. 1900")
    assert "unidentified" in as_member.post("/holdings/quick/", sent).text
    as_member.post("/holdings/quick/", sent | {"unidentified": "1"})
    made = Holding.objects.get()
    assert (made.coin_type, made.title, made.date_reading) == (None, "small brass, ship", "1900~")


def test_a_place_of_another_cannot_be_named(
    as_member: Client, other: Member, findable: Any
) -> None:
    theirs = Place.objects.create(owner=other, name="Theirs", path="Theirs")
    as_member.post("/holdings/quick/", line(findable, place=theirs.pk))
    assert Holding.objects.count() == 0


# ---- ticking dates ----
def test_ticked_dates_become_pieces_once(as_member: Client, coinage: Any) -> None:
    address = f"/types/{coinage.type.key}/dates/"
    assert markup(as_member.get(address).text).count('type="checkbox" name="issue"') == 3
    sent = {
        "issue": [coinage.issues[0].pk, coinage.issues[2].pk],
        "grade": "f",
        "grade_scale": "british",
    }
    for _ in range(2):
        assert as_member.post(address, sent).status_code == 302
    made = Holding.objects.order_by("accession")
    assert [holding.issue for holding in made] == [coinage.issues[0], coinage.issues[2]]
    assert {holding.grade for holding in made} == {"F"}
    assert markup(as_member.get(address).text).count('type="checkbox" name="issue"') == 1


def test_leaving_a_held_date_unticked_removes_nothing(
    as_member: Client, coinage: Any, make_holding: Any
) -> None:
    holding = make_holding(issue=coinage.issues[0])
    as_member.post(f"/types/{coinage.type.key}/dates/", {"grade_scale": "british"})
    assert Holding.objects.get() == holding


def test_dates_of_another_type_are_not_entered(as_member: Client, coinage: Any) -> None:
    stranger = CoinType.objects.create(
        key="else", series=coinage.series, denomination=coinage.denomination
    )
    issue = Issue.objects.create(coin_type=stranger, key="1900", shown="1900")
    sent = {"issue": [issue.pk], "grade_scale": "british"}
    as_member.post(f"/types/{coinage.type.key}/dates/", sent)
    assert Holding.objects.count() == 0


def test_a_date_never_struck_is_refused_with_all(as_member: Client, coinage: Any) -> None:
    Issue.objects.filter(pk=coinage.issues[1].pk).update(fact="not_struck")
    sent = {"issue": [i.pk for i in coinage.issues], "grade_scale": "british"}
    page = as_member.post(f"/types/{coinage.type.key}/dates/", sent)
    assert "1947 was not struck" in page.text
    assert Holding.objects.count() == 0


def test_a_bad_grade_keeps_the_ticks(as_member: Client, coinage: Any) -> None:
    sent = {"issue": [coinage.issues[1].pk], "grade": "shiny", "grade_scale": "british"}
    page = as_member.post(f"/types/{coinage.type.key}/dates/", sent)
    assert f'value="{coinage.issues[1].pk}" checked' in markup(page.text)
    assert Holding.objects.count() == 0


def test_what_another_holds_is_not_shown_as_mine(
    as_member: Client, other: Member, coinage: Any, make_holding: Any
) -> None:
    make_holding(owner=other, issue=coinage.issues[0])
    page = as_member.get(f"/types/{coinage.type.key}/dates/")
    assert page.context["run"].held == 0


@pytest.mark.parametrize("odd", ["9" * 30, "²", "-1", "x"])
def test_odd_ids_do_no_harm(as_member: Client, findable: Any, odd: str) -> None:
    sent = line(findable, coin_type=odd, picked_type=odd, picked_issue=odd, place=odd)
    assert as_member.post("/holdings/quick/", sent).status_code == 200
    ticked = {"issue": [odd], "grade_scale": "british"}
    assert as_member.post(f"/types/{findable.type.key}/dates/", ticked).status_code == 302
    assert as_member.post("/holdings/bulk/", {"holding": [odd]}).status_code == 302
    assert as_member.get("/holdings/new/", {"type": odd, "issue": odd}).status_code == 200
    assert as_member.get("/places/new/", {"within": odd}).status_code == 200
    assert Holding.objects.count() == 0


def test_measures_are_shown_without_trailing_zeros_and_money_with_its_cents(
    as_member: Client, make_holding: Any
) -> None:
    piece = make_holding(mass_g="5.4", price="12.50", price_currency="EUR")
    form = as_member.get(f"/holdings/{piece.pk}/edit/").context["form"]
    assert (form["mass_g"].value(), str(form["price"].value())) == ("5.4", "12.50")
